#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""How far off is the photo counter over a whole tray?  counter_trial.py FOLDER BRAIRD

FOLDER holds painted scenes with their truth (samples/painter/paint_trays) that no network was trained on, BRAIRD is the
program. Each tray is counted with layout, corners, crop and seeds told, so that only the counter errs. Prints kappa of
calibration/counter_doubt.h (the net error over a tray, in mean errors that the cells own up to, so that 1.96 kappa holds
95 % of the trays), the exponent that a free fit gives instead of 1, and how often the intervals of `braird rate` hold what
truly stands in the tray. Without numpy or SciPy it ends with 77 (skipped)."""
import glob
import json
import os
import subprocess
import sys

try:
    import numpy as np
    from scipy.optimize import minimize
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

SMALLEST = 13  # half pitch in px; smaller cells are refused or poorly read
CLUSTERS = ("beet", "chard")


def whole_tray(truth):
    whole = [tray for tray in truth.get("trays") or [] if tray.get("complete")]
    if len(whole) != 1 or not truth["seeds_per_cell"] or whole[0]["cells"][0]["half_pitch_px"] < SMALLEST:
        return None
    return whole[0]


def corners(tray):
    by_place = {(cell["row"], cell["col"]): cell["centre_px"] for cell in tray["cells"]}
    down, right = tray["rows"] - 1, tray["cols"] - 1
    return [f"{x - .5},{y - .5}" for x, y in
            (by_place[place] for place in ((0, 0), (0, right), (down, right), (down, 0)))]


def count(braird, photo, truth, tray):
    told = ["--tray", f"{tray['rows']}x{tray['cols']}", "--lattice", tray["lattice"], "--crop", truth["crop"],
            "--seeds", str(truth["seeds_per_cell"]), "--corners", *corners(tray)]
    return subprocess.run([braird, "count", "--json", *told, "--", photo], capture_output=True, text=True).stdout


def rates(braird, census):
    said = subprocess.run([braird, "rate", "--json", "-"], input=census, capture_output=True, text=True)
    if said.returncode != 0:
        sys.exit(f"braird rate: {said.stderr}of {census[:200]}")
    return json.loads(said.stdout)["lots"][0]


def off(cells, most, of):
    """Mean error that the cells own up to, each count against all chances; `of` turns a number into what counts."""
    return sum(q * abs(of(min(k, most)) - of(min(cell["count"], most)))
               for cell in cells for k, q in enumerate(cell["probability"])) / len(cells)


def trial(braird, photo, truth, tray):
    census = count(braird, photo, truth, tray)
    if not census.strip() or len(json.loads(census.splitlines()[0])["trays"]) != 1:
        return []
    cells = json.loads(census.splitlines()[0])["trays"][0]["cells"]
    there = {(cell["row"], cell["col"]): cell["seedlings"] for cell in tray["cells"]}
    seeds, lot = truth["seeds_per_cell"], rates(braird, census)
    most = 10**6 if truth["crop"] in CLUSTERS else seeds
    rows = []
    for name, of, scale in (("germination_rate", float, seeds), ("gap_rate", lambda k: float(k == 0), 1)):
        true = sum(of(min(there[cell["row"], cell["col"]], most)) for cell in cells) / len(cells) / scale
        seen = sum(of(min(cell["count"], most)) for cell in cells) / len(cells) / scale
        rate = lot[name]
        assert abs(rate["estimate"] - seen) < 1e-6, (photo, rate, seen)
        rows.append((name, seen - true, off(cells, most, of) / scale, rate["low"] <= true <= rate["high"],
                     rate["high"] - rate["low"]))
    return rows


def report(name, rows):
    error, own, holds, width = (np.array(column, float) for column in zip(*(row[1:] for row in rows)))
    # A tray that is read without a doubt (a bare one, say) has no say in kappa if it was read rightly.
    doubted = (own > 1e-6) | (np.abs(error) > 1e-6)
    error, own, holds, width = error[doubted], np.maximum(own[doubted], 1e-6), holds[doubted], width[doubted]
    kappa = np.quantile(np.abs(error) / own, .95) / 1.96

    def misfit(x):
        size = np.exp(x[0]) * own ** x[1]
        return np.sum(.5 * (error / size) ** 2 + np.log(size))
    exponent = minimize(misfit, [0, 1], method="Nelder-Mead").x[1]
    print(f"{name}: {len(error)} trays, kappa {kappa:.2f}, exponent {exponent:.2f}; own doubt {np.quantile(own, .1):.3f} "
          f"{np.median(own):.3f} {np.quantile(own, .9):.3f} (10, 50, 90 %); error mean {error.mean():+.3f}, rms "
          f"{np.sqrt((error ** 2).mean()):.3f}; the interval holds the tray's truth in {100 * holds.mean():.1f} %, median "
          f"width {np.median(width):.3f}")


def main(folder, braird):
    rows = []
    for path in sorted(glob.glob(os.path.join(folder, "*.truth.json"))):
        with open(path) as file:
            truth = json.load(file)
        tray = whole_tray(truth)
        if tray:
            rows += trial(braird, os.path.join(folder, truth["photo"]), truth, tray)
    for name in ("germination_rate", "gap_rate"):
        report(name, [row for row in rows if row[0] == name])


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    main(*sys.argv[1:])
