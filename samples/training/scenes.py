# SPDX-License-Identifier: Apache-2.0
"""Painted scenes as training arrays: whole photos with lattice maps, and trays laid flat with a count for each cell."""
import glob
import json
import os

import cv2
import numpy as np

FINEST = 26  # px a cell in the photo, below which counts can't be learned
CELL = 96  # px a cell on a tray laid flat, at which seeds are looked at; vision/flat_tray.h says the same
CELL_OF = {"counts": 72, "seeds": CELL, "seeds_large_tray": 64}  # px a cell as each network looks at it
STRIDE = CELL // 6  # px of the flat tray a place of lean
MARK_STRIDE = CELL // 12  # px of the flat tray a place of stems and lying seeds
MARGIN = 1  # cells of margin around a tray laid flat
MOST = 9  # counts above this are "or more"
TILE = 8  # cells a side of a piece of a flat tray, as training takes them
PARTS = ("pictures", "counts", "seeds", "lean", "stems", "lying", "facts")  # of a tile
# facts: habit, seeds sown, whether they are in view, whether held out, tiles of the scene, whether leaves are of another colour than
# green or the medium is overgrown
HABITS = {"brassica": 1, "radish": 1, "lettuce": 1, "cornsalad": 1, "cucumber": 1, "tomato": 2, "pepper": 2, "beet": 2,
          "chard": 2, "spinach": 2, "carrot": 2, "onion": 3, "leek": 3, "salad onion": 3}


def at_size_for(kind, pictures):
    """A flat tray's pieces, CELL px a cell, as a network of this kind looks at them."""
    side = CELL_OF[kind] * (TILE + 1)
    return np.stack([cv2.resize(piece, (side, side), interpolation=cv2.INTER_AREA) for piece in pictures])


def load_scenes(folder):
    for path in sorted(glob.glob(os.path.join(folder, "*.truth.json"))):
        try:
            with open(path) as file:
                truth = json.load(file)
        except ValueError:  # painting was stopped while this one was being written
            continue
        yield os.path.join(folder, truth["photo"]), truth


def trays_of(truth):
    if truth.get("trays") is not None:
        return truth["trays"]
    return [dict(truth["tray"], cells=truth["cells"])] if truth.get("tray") else []


def shift_of(tray):
    return tray.get("odd_row_shift", 0.5 if tray["lattice"] == "staggered" else 0.0)


def tray_places(tray):
    shift = shift_of(tray)
    return np.array([[c["col"] + shift * (c["row"] % 2), c["row"]] for c in tray["cells"]], np.float64)


def spread(tray):
    """How many rows or columns, the fewer, the listed cells span."""
    if not tray["cells"]:
        return 0
    places = np.array([[c["row"], c["col"]] for c in tray["cells"]])
    return (places.max(0) - places.min(0)).min() + 1


def undistort(points, size, k1):
    middle = np.array(size) / 2
    half = np.hypot(*size) / 2
    seen = (points - middle) / half
    flat = seen.copy()
    for _ in range(12):
        flat = seen / (1 + k1 * (flat ** 2).sum(1, keepdims=True))
    return flat * half + middle


def distort(points, size, k1):
    middle = np.array(size) / 2
    half = np.hypot(*size) / 2
    flat = (points - middle) / half
    return flat * (1 + k1 * (flat ** 2).sum(1, keepdims=True)) * half + middle


def fit_tray(tray, size, k1):
    """Returns a function: tray places (n, 2) -> photo pixels (n, 2), the true cell centres being met exactly."""
    places = tray_places(tray)
    centres = np.array([c["centre_px"] for c in tray["cells"]], np.float64)
    H, _ = cv2.findHomography(places, undistort(centres, size, k1), 0)
    rows, cols, shift = tray["rows"], tray["cols"], shift_of(tray)

    def plane(p):
        q = np.c_[p, np.ones(len(p))] @ H.T
        return distort(q[:, :2] / q[:, 2:], size, k1)

    residual = np.zeros((rows, cols, 2), np.float32)
    off = centres - plane(places)
    for cell, o in zip(tray["cells"], off):
        residual[cell["row"], cell["col"]] = o

    def photo(p):
        v = np.clip(p[:, 1], 0, rows - 1)
        u = np.clip(p[:, 0] - shift * 0.5, 0, cols - 1)
        return plane(p) + between(residual, u, v)

    return photo


def plane_from_photo(tray, size, k1):
    """Photo pixels (n, 2) -> tray places (n, 2), nearly."""
    cells, shift = tray["cells"], shift_of(tray)
    places = np.array([[c["col"] + shift * (c["row"] % 2), c["row"]] for c in cells], float)
    H, _ = cv2.findHomography(undistort(np.array([c["centre_px"] for c in cells], float), size, k1), places, 0)

    def place(points):
        q = np.c_[undistort(points, size, k1), np.ones(len(points))] @ H.T
        return q[:, :2] / q[:, 2:]

    return place


def between(grid, x, y):
    """Linear interpolation in grid[y, x]."""
    i = np.clip(x.astype(int), 0, max(0, grid.shape[1] - 2))
    j = np.clip(y.astype(int), 0, max(0, grid.shape[0] - 2))
    i1, j1 = np.minimum(i + 1, grid.shape[1] - 1), np.minimum(j + 1, grid.shape[0] - 1)
    s, t = (x - i)[:, None], (y - j)[:, None]
    return (1 - t) * ((1 - s) * grid[j, i] + s * grid[j, i1]) + t * ((1 - s) * grid[j1, i] + s * grid[j1, i1])


def flat_tray(image, tray, k1, rng=None):
    """The tray laid flat, CELL px a cell, None if its cells are too small: (canvas, counts, seeds, lean, bases, lying).

    counts[row, 2 * (col + shift)] is the true count, -1 where no cell stands; seeds the same of seeds in view. lean:
    which way plants lean, one for STRIDE px. bases (n, 2): where the stems of visible seedlings stand on the canvas; lying
    (n, 2): where the seeds in view lie."""
    size = (image.shape[1], image.shape[0])
    photo = fit_tray(tray, size, k1)
    shift = shift_of(tray)
    wide = tray["cols"] + (0.5 if shift else 0)
    height, width = CELL * (tray["rows"] - 1 + 2 * MARGIN), int(CELL * (wide - 1 + 2 * MARGIN))
    first = min(0.0, shift)
    places = canvas_places(tray, first, np.zeros(6) if rng is None else rng.normal(0, [0.05, 0.05, 0.02, 0.02, 0.02, 0.02]))
    step = 12

    def net(every):
        xs, ys = np.meshgrid(np.arange(every / 2 - 0.5, width, every), np.arange(every / 2 - 0.5, height, every))
        return places(np.c_[xs.ravel(), ys.ravel()]), xs.shape

    p, shape = net(step)
    coarse = photo(p).reshape(*shape, 2).astype(np.float32) - 0.5
    dense = cv2.resize(coarse, (width, height), interpolation=cv2.INTER_LINEAR)
    middle = np.array([tray["cols"] / 2, tray["rows"] / 2])
    pitch = np.sqrt(abs(np.linalg.det(photo(np.array([[1.0, 0], [0, 1.0]]) + middle) - photo(middle[None]))))
    if pitch < FINEST:
        return None
    if pitch > 1.5 * CELL:  # anti-alias, as the reader does by picking the photo's scale
        scale = float(CELL * 1.15 / pitch)
        image = cv2.resize(image, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
        dense = (dense + 0.5) * scale - 0.5
    canvas = cv2.remap(image, dense, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    counts = np.full((tray["rows"], 2 * tray["cols"] + 1), -1, np.int64)
    seeds = np.full_like(counts, -1)
    stems, lying = [], []  # in the photo, each with the middle of its cell on the canvas
    for cell in tray["cells"]:
        at = cell["row"], int(round(2 * (cell["col"] + shift * (cell["row"] % 2) - first)))
        counts[at] = cell["visible"] if cell.get("sure", True) else -1
        seeds[at] = cell.get("seeds_seen", -1)
        middle = [CELL / 2 * (at[1] + 2), CELL * (at[0] + 1)]
        stems += [(base, middle) for base, seen in zip(cell.get("bases_px", []), cell.get("bases_visible", [])) if seen]
        lying += [(seed, middle) for seed in cell.get("seeds_px", [])]
    marks = [on_canvas(lambda q: photo(places(q)), pairs) for pairs in (stems, lying)]
    return canvas, counts, seeds, lean_vectors(photo, *net(STRIDE), size), *marks


def canvas_places(tray, first, wobble):
    """Canvas pixels (n, 2) -> tray places (n, 2), a little off as found lattices are."""

    def places(q):
        u, v = (q[:, 0] + 0.5) / CELL - MARGIN + first, (q[:, 1] + 0.5) / CELL - MARGIN
        cu, cv, span = u - tray["cols"] / 2, v - tray["rows"] / 2, 4 / max(8, tray["cols"])
        return np.c_[u + wobble[0] + (wobble[2] * cu + wobble[3] * cv) * span,
                     v + wobble[1] + (wobble[4] * cu + wobble[5] * cv) * span]

    return places


def on_canvas(photo, pairs):
    """Of each pair of a place in the photo and a start on the canvas: Newton's steps from the start to what is seen there, (n, 2)."""
    seen, q = np.array(pairs, float).reshape(-1, 2, 2).swapaxes(0, 1)
    if not len(q):
        return q
    for _ in range(4):
        at = photo(q)
        dx, dy = (photo(q + [3, 0]) - at) / 3, (photo(q + [0, 3]) - at) / 3
        off, area = seen - at, dx[:, 0] * dy[:, 1] - dx[:, 1] * dy[:, 0]
        move = np.c_[off[:, 0] * dy[:, 1] - off[:, 1] * dy[:, 0], dx[:, 0] * off[:, 1] - dx[:, 1] * off[:, 0]] / area[:, None]
        q = q + np.clip(move, -CELL, CELL)
    return q


def lean_vectors(photo, p, shape, size):
    """Which way, in tray axes, plants appear to lean: offset from the photo's middle over its half diagonal."""
    at, right, down = photo(p), photo(p + [0.1, 0]), photo(p + [0, 0.1])
    off = (at - np.array(size) / 2) / (np.hypot(*size) / 2)
    eu, ev = right - at, down - at
    eu /= np.linalg.norm(eu, axis=1, keepdims=True)
    ev /= np.linalg.norm(ev, axis=1, keepdims=True)
    return np.stack([(off * eu).sum(1), (off * ev).sum(1)]).reshape(2, *shape).astype(np.float32)


def tiles_of(canvas, counts, seeds, lean, bases, lying):
    """A flat tray in overlapping pieces of TILE cells a side: a list of (picture, counts, seeds, lean, stems and lying seeds a place
    of MARK_STRIDE px)."""
    rows, across = counts.shape[0], canvas.shape[1] // (CELL // 2) - 3
    size, half = CELL * (TILE + 1), 2 * TILE - 1
    square = across == 2 * ((across + 1) // 2) - 1

    def heat(points):
        places = np.zeros((canvas.shape[0] // MARK_STRIDE, canvas.shape[1] // MARK_STRIDE), np.uint8)
        for x, y in (points // MARK_STRIDE).astype(int):
            if 0 <= y < places.shape[0] and 0 <= x < places.shape[1]:
                places[y, x] += 1
        return places

    marks = heat(bases), heat(lying)

    def starts(whole, part):
        n = max(1, -(-whole // part))
        return [int(round(s)) for s in np.linspace(0, max(0, whole - part), n)]

    def cut(array, y, x, h, w, fill=0):
        part = array[y:y + h, x:x + w]
        result = np.full((h, w, *array.shape[2:]), fill, array.dtype)
        result[:part.shape[0], :part.shape[1]] = part
        return result

    tiles = []
    for r in starts(rows, TILE):
        for c in starts(across, half):
            c -= c % 2 if square else 0
            y = cut(counts[:, :across], r, c, TILE, half, -1)
            if (y >= 0).any():
                tiles.append((cut(canvas, CELL * r, CELL // 2 * c, size, size), y.astype(np.int8),
                              cut(seeds[:, :across], r, c, TILE, half, -1).astype(np.int8),
                              cut(lean.transpose(1, 2, 0), 6 * r, 3 * c, size // STRIDE, size // STRIDE).transpose(2, 0, 1).astype(np.float16),
                              *(cut(h, 12 * r, 6 * c, size // MARK_STRIDE, size // MARK_STRIDE) for h in marks)))
    return tiles
