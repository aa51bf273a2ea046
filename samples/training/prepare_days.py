# SPDX-License-Identifier: Apache-2.0
"""prepare_days.py SCENES OUT: trays painted on several days (paint_trays --days) -> NAME.PART.npy, pieces of the tray on all days.

Arrays are those of prepare.py with the day as second axis; counts are those of all plants in view, also such as no single
photo would show to a person."""
import glob
import os
import sys
import zlib

import cv2
import numpy as np

import scenes

DAYS = 4
PARTS = ("pictures", "counts", "lean", "stems", "facts")


def on_days(paths):
    """Pieces of the tray on each day: a list of days of lists of tiles; nothing where a day shows no whole tray."""
    days = []
    for path, truth in paths:
        trays = scenes.trays_of(truth)
        if len(trays) != 1 or not trays[0].get("complete", True):
            return []
        tray = dict(trays[0], cells=[dict(cell, sure=True) for cell in trays[0]["cells"]])
        rng = np.random.default_rng(zlib.crc32(path.encode()))
        flat = scenes.flat_tray(cv2.imread(path), tray, truth["camera"]["k1"], rng)
        if not flat:
            return []
        days.append(scenes.tiles_of(*flat))
    return days


def prepare(name, paths, out):
    days = on_days(paths)
    if not days or len({len(tiles) for tiles in days}) != 1:
        return
    side, truth = scenes.SEEDLING_CELL * (scenes.TILE + 1), paths[0][1]
    pictures = [[cv2.resize(tile[0], (side, side), interpolation=cv2.INTER_AREA) for tile in tiles] for tiles in days]
    count = len(days[0])
    facts = [scenes.HABITS.get(truth.get("crop") or "", 0), truth.get("seeds_per_cell") or 0, int(name[-1] == "0"), count]
    parts = [np.array(pictures), *(np.array([[tile[field] for tile in tiles] for tiles in days]) for field in (1, 3, 4))]
    for part, array in zip(PARTS, [*(p.swapaxes(0, 1) for p in parts), np.tile(np.array(facts), (count, 1))]):
        path = os.path.join(out, f"{name}.{part}.npy")
        np.save(path + ".new.npy", array)
        os.replace(path + ".new.npy", path)


def main():
    source, out = sys.argv[1], sys.argv[2]
    os.makedirs(out, exist_ok=True)
    cv2.setNumThreads(1)
    series = {}
    for path, truth in scenes.load_scenes(source):
        series.setdefault(os.path.basename(path).split("-")[0], []).append((path, truth))
    for name, paths in series.items():
        try:
            if len(paths) == DAYS:
                prepare(name, paths, out)
        except Exception as fault:  # one odd scene must not stop ten thousand
            print(f"{name}: {type(fault).__name__}: {fault}")


if __name__ == "__main__":
    main()
