#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes the season of Tarnholt Farm, which does not exist, as tables that `braird import` takes.

Kale "Rowan 12" came up well in March and less well from sowing to sowing. Lettuce "Sorrel 4" is poor seed. Leek
"Heron 2" is what its pack says. All counts are drawn by chance, with a counter that is unsure here and there:
make_season.py FOLDER
"""
import csv
import datetime
import hashlib
import pathlib
import random
import sys

LOTS = [  # lot, crop, variety, supplier, tested_on, stated_percent, treated
    ("Rowan 12", "kale", "Curly Fell", "Ebbwater", "2025-11-20", 92, "no"),
    ("Sorrel 4", "lettuce", "Green Beck", "Ebbwater", "2024-12-02", 90, "no"),
    ("Heron 2", "leek", "Long Moor", "Ghyll", "2025-12-11", 85, "no"),
]
SOWINGS = [  # lot, sown_on, seeds a cell, germination, trays, days of the first tray's photos
    ("Rowan 12", "2026-03-03", 1, 0.93, 4, [9]),
    ("Rowan 12", "2026-03-24", 1, 0.91, 4, [9]),
    ("Rowan 12", "2026-04-14", 1, 0.77, 4, [5, 6, 7, 9]),
    ("Sorrel 4", "2026-03-10", 1, 0.62, 4, [8]),
    ("Heron 2", "2026-03-05", 4, 0.84, 4, [15]),
]
ROWS, COLS = 6, 12


def chances(count, unsure, lean):
    """What the counter says of a cell: sure, or leaning to one more or one fewer."""
    result = [0.0] * 7
    result[count] = 1 - unsure
    result[count + (1 if count == 0 else lean)] += unsure
    return " ".join(f"{chance:.4g}" for chance in result)


def date_after(day, days):
    return (datetime.date.fromisoformat(day) + datetime.timedelta(days)).isoformat()


def grow_tray(rng, seeds, rate, days):
    """The day on which each seed comes up, a list a cell, and where in the cell the plants stand."""
    middle = 6 if days[-1] < 12 else 11
    cells = [[rng.gauss(middle, 1) for _ in range(seeds) if rng.random() < rate] for _ in range(ROWS * COLS)]
    return cells, [(rng.gauss(0, 0.12), rng.gauss(0, 0.12)) for _ in cells]


def main(folder):
    rng = random.Random(12)
    tables = {
        "lots": [("lot", "crop", "variety", "supplier", "tested_on", "stated_percent", "treated"), *LOTS],
        "sowings": [("sowing", "lot", "sown_on", "rows", "cols", "lattice", "seeds_per_cell", "topping")],
        "trays": [("tray", "sowing", "tag")],
        "photos": [("photo", "file", "width", "height", "taken", "remarks")],
        "censuses": [("photo", "number", "tray", "by_label", "corners", "pitch_px", "fit")],
        "cells": [("photo", "number", "row", "col", "x", "y", "count", "chances", "review", "plant")],
        "decisions": [("lot", "sowing", "tray", "decided_on", "words"),
                      ("Sorrel 4", 4, "", "2026-03-19", "filled the gaps; asked the supplier")],
    }
    tray = 0
    for number, (lot, sown, seeds, rate, trays, days) in enumerate(SOWINGS, 1):
        tables["sowings"].append((number, lot, sown, ROWS, COLS, "square", seeds, "vermiculite"))
        for copy in range(trays):
            tray += 1
            tables["trays"].append((tray, number, f"A{tray}"))
            cells, places = grow_tray(rng, seeds, rate, days)
            for day in days if copy == 0 else days[-1:]:
                taken = date_after(sown, day)
                photo = hashlib.md5(f"{tray} {day}".encode()).hexdigest()
                tables["photos"].append((photo, f"tarnholt/A{tray}-{taken}.jpg", 2400, 1800, f"{taken}T09:30:00", ""))
                tables["censuses"].append((photo, 0, tray, "yes", "300 300 1521 300 1521 855 300 855", 111, 0.98))
                for at, came in enumerate(cells):
                    row, col = divmod(at, COLS)
                    count = sum(d <= day for d in came)
                    unsure = 0 if rng.random() < 0.9 else 0.3
                    plant = f"{places[at][0]:.2f} {places[at][1]:.2f}" if count else ""
                    tables["cells"].append((photo, 0, row + 1, col + 1, 300 + 111 * col, 300 + 111 * row, count,
                                            chances(count, unsure, rng.choice((-1, 1))), "yes" if unsure else "no", plant))
    for name, rows in tables.items():
        with open(pathlib.Path(folder) / f"{name}.csv", "w", newline="") as file:
            csv.writer(file, lineterminator="\n").writerows(rows)


main(sys.argv[1])
