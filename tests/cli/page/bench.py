# SPDX-License-Identifier: Apache-2.0
"""What the report's tests stand on: the program run in a folder of its own, and a season made there from one photo."""
import csv
import json
import os
import pathlib
import subprocess


class Bench:
    """A folder with a ledger, in which the program is run."""

    def __init__(self, program, photo, folder):
        self.program, self.photo = program, photo
        self.folder = pathlib.Path(folder)
        self.downloads = self.folder / "downloads"
        self.downloads.mkdir(parents=True)

    def braird(self, *arguments, status=0):
        environment = {**os.environ, "BRAIRD_LEDGER": str(self.folder / "ledger.sqlite")}
        done = subprocess.run([self.program, *map(str, arguments)], cwd=self.folder, env=environment, text=True,
                              capture_output=True)
        assert done.returncode == status, (arguments, done.stderr)
        return done.stdout

    def keep(self, lot):
        said = self.braird("count", "--keep", "--json", "--tray", "plug-128", "--crop", "kale", "--seeds", 1, "--lot", lot,
                           "--sown", "2026-04-02", "--taken", "2026-04-09", self.photo)
        return json.loads(said)["trays"][0]["cells"]

    def lot(self, lot):
        return json.loads(self.braird("lot", "--json", lot))


def season_of(bench, many):
    """The kept photo again and again, as so many trays of several lots: by way of the tables."""
    bench.braird("export", "tables")
    tables = {}
    for file in (bench.folder / "tables").glob("*.csv"):
        with file.open(newline="") as lines:
            tables[file.stem] = list(csv.DictReader(lines))
    photo = next(row["photo"] for row in tables["photos"] if row["file"].endswith(bench.photo.name))
    lot, sowing = tables["lots"], next(row for row in tables["sowings"] if row["lot"] == "Rowan 12")
    census = next(row for row in tables["censuses"] if row["photo"] == photo)
    cells = [row for row in tables["cells"] if row["photo"] == photo]
    count = range(many)
    made = {"lots": [{**lot[0], "lot": f"Rowan {at}", "crop": "kale"} for at in range(5)],
            "sowings": [{**sowing, "sowing": str(at + 1), "lot": f"Rowan {at}"} for at in range(5)],
            "trays": [{"tray": str(at + 1), "sowing": str(at % 5 + 1), "tag": f"K{at + 1}"} for at in count],
            "photos": [row for row in tables["photos"] if row["photo"] == photo],
            "censuses": [{**census, "number": str(at), "tray": str(at + 1)} for at in count],
            "cells": [{**row, "number": str(at)} for at in count for row in cells], "decisions": []}
    season = Bench(bench.program, bench.photo, bench.folder / "season")
    (season.folder / "tables").mkdir()
    for name, rows in made.items():
        heads = list(rows[0]) if rows else ["lot", "sowing", "tray", "decided_on", "words"]
        with (season.folder / "tables" / f"{name}.csv").open("w", newline="") as out:
            writer = csv.DictWriter(out, heads)
            writer.writeheader()
            writer.writerows(rows)
    season.braird("import", "tables")
    return season
