# SPDX-License-Identifier: Apache-2.0
"""What the lattice's network is to see in painted photos: where trays are, and their cells' centres."""
import cv2
import numpy as np

from scenes import fit_tray, shift_of, spread, trays_of

PHOTO_SIDE = 640  # long side of a photo in which the lattice is looked for
NEAR_SIDE = 1024  # the same of a nearer look
INSET = 0.25  # pitches by which a region lies within the hull of its cells, so that butted trays stay apart
CORE_INSET = 1.0  # the same of a core, so that the cores of butted trays stay wide apart


def lattice_maps(image, truth, side=PHOTO_SIDE):
    """The photo with its long side at `side` px, and maps at half of that: region, core, centres, staggered.

    The region of a tray lies INSET within the hull of its cells, its core CORE_INSET."""
    height, width = image.shape[:2]
    scale = side / max(height, width)
    small = cv2.resize(image, (round(width * scale), round(height * scale)), interpolation=cv2.INTER_AREA)
    h, w = small.shape[0] // 2, small.shape[1] // 2
    sx, sy = w / width, h / height
    maps = np.zeros((4, h, w), np.float32)
    yy, xx = np.mgrid[0:h, 0:w]
    k1 = truth["camera"]["k1"]
    for tray in trays_of(truth):
        rows, cols, shift = tray["rows"], tray["cols"], shift_of(tray)
        if spread(tray) < 2:  # hardly in the photo: its rim is all that is known of its place
            rim = (np.array(tray["outline_px"]) * [sx, sy] * 16).round().astype(np.int32)
            fill(maps, rim, (0, 3) if shift else (0,))
            continue
        photo = fit_tray(tray, (width, height), k1)

        def within(inset):
            lo, hi = min(0, shift) - 0.5 + inset, cols - 0.5 + max(0, shift) - inset
            top, low = inset - 0.5, rows - 0.5 - inset
            u, v = np.linspace(lo, hi, 40), np.linspace(top, low, 40)
            edge = np.r_[np.c_[u, 0 * u + top], np.c_[0 * v + hi, v], np.c_[u[::-1], 0 * u + low], np.c_[0 * v + lo, v[::-1]]]
            return ((photo(edge) * [sx, sy] - 0.5) * 16).round().astype(np.int32)

        fill(maps, within(INSET), (0, 3) if shift else (0,))
        fill(maps, within(CORE_INSET), (1,))
        for cell in tray["cells"]:
            x, y = cell["centre_px"][0] * sx - 0.5, cell["centre_px"][1] * sy - 0.5
            sigma = max(0.8, 0.2 * 2 * cell["half_pitch_px"] * (sx + sy) / 2)
            r = int(3 * sigma + 1)
            x0, x1, y0, y1 = int(x) - r, int(x) + r + 2, int(y) - r, int(y) + r + 2
            x0, y0, x1, y1 = max(0, x0), max(0, y0), min(w, x1), min(h, y1)
            if x0 >= x1 or y0 >= y1:
                continue
            blob = np.exp(-((xx[y0:y1, x0:x1] - x) ** 2 + (yy[y0:y1, x0:x1] - y) ** 2) / (2 * sigma ** 2))
            maps[2][y0:y1, x0:x1] = np.maximum(maps[2][y0:y1, x0:x1], blob)
    return small, maps


def fill(maps, outline, which):
    """1 within the outline, 16ths of a pixel, in those of the maps."""
    within = np.zeros(maps.shape[1:], np.uint8)
    cv2.fillPoly(within, [outline], 1, shift=4)
    for number in which:
        maps[number][within > 0] = 1


def near_piece(image, truth, rng):
    """What a nearer look shows: a piece of the photo at NEAR_SIDE, about some place of a tray, and its maps."""
    small, maps = lattice_maps(image, truth, min(NEAR_SIDE, max(image.shape[:2])))
    y, x = np.nonzero(maps[0] > 0) if maps[0].any() else np.indices(maps[1].shape).reshape(2, -1)
    at = rng.integers(len(x))
    high, wide = PHOTO_SIDE * 3 // 8, PHOTO_SIDE // 2  # of the maps
    if small.shape[0] > small.shape[1]:
        high, wide = wide, high
    top = int(np.clip(y[at] - high // 2, 0, max(0, maps.shape[1] - high)))
    left = int(np.clip(x[at] - wide // 2, 0, max(0, maps.shape[2] - wide)))
    return small[2 * top:2 * (top + high), 2 * left:2 * (left + wide)], maps[:, top:top + high, left:left + wide]


def tray_piece(image, truth, rng):
    """A window of what a nearer look at one tray shows (itself and a little beside it with the long side at NEAR_SIDE), and its maps;
    None where there is too little."""
    trays = [t for t in trays_of(truth) if spread(t) >= 2]
    if not trays:
        return None
    tray = trays[rng.integers(len(trays))]
    height, width = image.shape[:2]
    points = np.array([c["centre_px"] for c in tray["cells"]])
    pitch = 2 * np.median([c["half_pitch_px"] for c in tray["cells"]])
    x0, y0, x1, y1 = *(points.min(0) - pitch / 2), *(points.max(0) + pitch / 2)
    beside = (0.06 if rng.random() < 0.7 else 0.3) * max(x1 - x0, y1 - y0)
    x0, y0, x1, y1 = max(0, int(x0 - beside)), max(0, int(y0 - beside)), min(width, int(x1 + beside)), min(height, int(y1 + beside))
    scale = min(1, NEAR_SIDE / max(x1 - x0, y1 - y0))
    side = round(scale * max(width, height))
    if max(x1 - x0, y1 - y0) * scale < 200:
        return None
    small, maps = lattice_maps(image, truth, side)
    sy, sx = small.shape[0] / height, small.shape[1] / width
    x0, y0, x1, y1 = int(x0 * sx) // 2, int(y0 * sy) // 2, int(x1 * sx) // 2, int(y1 * sy) // 2  # on the maps
    high, wide = PHOTO_SIDE * 3 // 8, PHOTO_SIDE // 2
    if y1 - y0 > x1 - x0:
        high, wide = wide, high
    left = int(rng.integers(x0, max(x0, x1 - wide) + 1))
    top = int(rng.integers(y0, max(y0, y1 - high) + 1))
    right, low = min(x1, left + wide, maps.shape[2]), min(y1, top + high, maps.shape[1])
    return small[2 * top:2 * low, 2 * left:2 * right], maps[:, top:low, left:right]
