# SPDX-License-Identifier: Apache-2.0
"""prepare.py SCENES OUT [JOBS [all|lattice]]: painted scenes -> arrays for training: far-NAME.npz, near-NAME.npz, tray0-NAME.npz … of the photo, NAME.ends
of strips along its trays' sides and NAME.seams of trays that touch (in the same format), NAME.PART.npy of its cells.

all: cells whose plants nobody could tell from the ground count, too: for the counter of trays that come up. lattice: no cells."""
import os
import sys
import zlib
from multiprocessing import Pool

import cv2
import numpy as np

import ends
import maps
import scenes
import seams


def write(path, **arrays):
    with open(path + ".new", "wb") as file:
        np.savez(file, **arrays)
    os.replace(path + ".new", path)  # whole for whoever reads while more are prepared


def prepare(job):
    photo, truth, out, what = job
    name = os.path.basename(photo).rsplit(".", 1)[0]
    rng = np.random.default_rng(zlib.crc32(name.encode()))
    try:
        image = cv2.imread(photo)
        pieces = [("far", maps.lattice_maps(image, truth)), ("near", maps.near_piece(image, truth, rng))]
        pieces += [(f"tray{i}", piece) for i in range(2) if (piece := maps.tray_piece(image, truth, rng))]
        for kind, (small, shown) in pieces:
            write(os.path.join(out, f"{kind}-{name}.npz"), photo=small, maps=(shown * 255).round().astype(np.uint8))
        strips, kinds = ends.strips_of(image, truth, rng)
        if len(kinds):
            write(os.path.join(out, name + ".ends"), strips=strips, kinds=kinds)
        if touching := seams.pieces_of(image, truth, rng):
            write(os.path.join(out, name + ".seams"), **dict(zip(("pictures", "seams", "spans", "staggered"), touching)))
        if what == "lattice":
            return ""
        tiles = []
        for tray in scenes.trays_of(truth):
            if what == "all":
                tray["cells"] = [dict(cell, sure=True) for cell in tray["cells"]]
            flat = scenes.flat_tray(image, tray, truth["camera"]["k1"], rng) if tray.get("complete", True) else None
            tiles += scenes.tiles_of(*flat) if flat else []
        facts = [scenes.HABITS.get(truth.get("crop") or "", 0), truth.get("seeds_per_cell") or 0,
                 int(truth.get("days_after_sowing") == 0), int(name.split("-")[0][-1] == "0"), len(tiles),
                 int(truth.get("coloured", False) or truth.get("overgrown", False))]
        parts = [np.stack(part) for part in zip(*tiles)] + [np.tile(np.array(facts), (len(tiles), 1))]
        for part, array in zip(scenes.PARTS, parts if tiles else []):
            path = os.path.join(out, f"{name}.{part}.npy")
            np.save(path + ".new.npy", array)
            os.replace(path + ".new.npy", path)
        return ""
    except Exception as fault:  # one odd scene must not stop ten thousand
        return f"{name}: {type(fault).__name__}: {fault}"


def main():
    source, out = sys.argv[1], sys.argv[2]
    jobs = int(sys.argv[3]) if len(sys.argv) > 3 else os.cpu_count()
    what = "".join(sys.argv[4:])
    os.makedirs(out, exist_ok=True)
    cv2.setNumThreads(1)
    with Pool(jobs) as pool:
        faults = [f for f in pool.imap_unordered(prepare, ((p, t, out, what) for p, t in scenes.load_scenes(source)), 4) if f]
    print(f"{len(faults)} scenes failed", *faults[:5], sep="\n")


if __name__ == "__main__":
    main()
