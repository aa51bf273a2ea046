# SPDX-License-Identifier: Apache-2.0
"""prepare.py SCENES OUT [JOBS]: painted scenes -> arrays for training, one .npz a scene."""
import os
import sys
import zlib
from multiprocessing import Pool

import cv2
import numpy as np

import scenes


def prepare(job):
    photo, truth, out = job
    name = os.path.basename(photo).rsplit(".", 1)[0]
    rng = np.random.default_rng(zlib.crc32(name.encode()))
    try:
        image = cv2.imread(photo)
        small, maps = scenes.lattice_maps(image, truth)
        arrays = {"photo": small, "maps": (maps * 255).round().astype(np.uint8)}
        n = 0
        for tray in scenes.trays_of(truth):
            if not tray.get("complete", True):
                continue
            flat = scenes.flat_tray(image, tray, truth["camera"]["k1"], rng)
            if flat is None:
                continue
            canvas, counts, seeds, lean = flat
            arrays[f"canvas{n}"], arrays[f"counts{n}"] = canvas, counts.astype(np.int16)
            arrays[f"seeds{n}"], arrays[f"lean{n}"] = seeds.astype(np.int16), lean.astype(np.float16)
            n += 1
        arrays["habit"] = scenes.HABITS.get(truth.get("crop") or "", 0)
        arrays["sown"] = truth.get("seeds_per_cell") or 0
        arrays["trays"] = n
        np.savez(os.path.join(out, name + ".npz"), **arrays)
        return ""
    except Exception as fault:  # one odd scene must not stop ten thousand
        return f"{name}: {type(fault).__name__}: {fault}"


def main():
    source, out = sys.argv[1], sys.argv[2]
    jobs = int(sys.argv[3]) if len(sys.argv) > 3 else os.cpu_count()
    os.makedirs(out, exist_ok=True)
    cv2.setNumThreads(1)
    with Pool(jobs) as pool:
        faults = [f for f in pool.imap_unordered(prepare, ((p, t, out) for p, t in scenes.load_scenes(source)), 4) if f]
    print(f"{len(faults)} scenes failed", *faults[:5], sep="\n")


if __name__ == "__main__":
    main()
