# SPDX-License-Identifier: Apache-2.0
"""Strips of painted photos along the sides of trays, for the network that tells whether a tray ends there."""
import cv2
import numpy as np

from scenes import fit_tray, plane_from_photo, shift_of, trays_of

PX = 16  # a cell of a strip; vision/tray_ends.cpp says the same of this and the next three
INSIDE, OUTSIDE = 1.75, 1.25  # cells of depth within and beyond the line along a side
FEWEST = 12  # cells that a strip is long at least
BESIDE = 1  # cells by which it is longer than the side at either end, at least
DEPTH = int(PX * (INSIDE + OUTSIDE))
END, GOES_ON, HIDDEN, BEYOND = range(4)  # what a line may be: a side, between two rows, where a cover or the frame cuts the tray, a row too far


def seen_at(image, sizes, at, pitch):
    """What a photo shows at these pixels of it (h, w, 2), `pitch` of them a cell: (h, w, 4), BGR and whether it shows something.
    sizes: where its smaller copies are kept."""
    scale = 1.15 * PX / max(1e-3, pitch)
    if scale < 0.8:
        small = shrunk(image, sizes, scale)
        at = (at + 0.5) * np.float32([small.shape[1] / image.shape[1], small.shape[0] / image.shape[0]]) - 0.5
        image = small
    seen = cv2.remap(image, at, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    h, w = image.shape[:2]
    shown = (at[..., 0] > -0.5) & (at[..., 0] < w - 0.5) & (at[..., 1] > -0.5) & (at[..., 1] < h - 0.5)
    return np.dstack([seen, shown * np.uint8(255)])


def shrunk(image, sizes, scale):
    scale = 2.0 ** (np.ceil(np.log2(scale) * 4) / 4)  # few sizes, each made once
    if scale not in sizes:
        sizes[scale] = cv2.resize(image, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    return sizes[scale]


class Side:
    """One of a tray's four sides (0: first row, then clockwise), seen from within."""

    def __init__(self, image, sizes, tray, photo, side):
        """sizes: where the photo's smaller copies are kept; photo: tray places -> photo pixels, see fit_tray."""
        rows, cols, shift = tray["rows"], tray["cols"], shift_of(tray)
        left, right = min(0, shift) - 0.5, cols - 0.5 + max(0, shift)
        self.image, self.sizes, self.photo, self.upright = image, sizes, photo, side % 2 == 1
        self.end, self.sign = [(-0.5, -1), (right, 1), (rows - 0.5, 1), (left, -1)][side]
        self.first, self.cells = (-0.5, rows) if self.upright else (left, right - left)
        self.deep = cols if self.upright else rows

    def strip(self, back, rng):
        """(DEPTH, PX FEWEST, 4): BGR and whether the photo shows something, of a piece of the side, about the line that lies
        `back` rows within it."""
        spare = max(0.0, FEWEST - self.cells - 2 * BESIDE)
        start = self.first - BESIDE - spare / 2 + rng.uniform(0, max(0.0, self.cells + 2 * BESIDE - FEWEST))
        along = start + (np.arange(PX * FEWEST) + 0.5) / PX + rng.normal(0, 0.07)
        out = (np.arange(DEPTH) + 0.5) / PX - INSIDE - back + rng.normal(0, 0.06)
        tilt = rng.normal(0, 0.01) * (along - along.mean())
        deep = self.end + self.sign * (out[:, None] + tilt[None])
        a = np.broadcast_to(along[None], deep.shape)
        places = np.c_[deep.ravel(), a.ravel()] if self.upright else np.c_[a.ravel(), deep.ravel()]
        at = self.photo(places).reshape(*deep.shape, 2).astype(np.float32) - 0.5
        across, down = at[DEPTH // 2, 1] - at[DEPTH // 2, 0], at[DEPTH // 2 + 1, 0] - at[DEPTH // 2, 0]
        pitch = PX * np.sqrt(abs(across[0] * down[1] - across[1] * down[0]))
        return seen_at(self.image, self.sizes, at, pitch)


def from_edge(edge, rng):
    """How far each place of a strip lies beyond a line `edge` cells outwards of its middle line, cells; a little askew."""
    y, x = np.mgrid[0:DEPTH, 0:PX * FEWEST]
    slope = np.tan(np.deg2rad(rng.normal(0, 2)))
    return (y + 0.5) / PX - INSIDE - edge - slope * (x / PX - rng.uniform(0, FEWEST))


def covered(strip, edge, deep, texture, rng):
    """A bar, board, cloth or pot over the strip from `edge` on, `deep` cells deep, with its shadow before it."""
    z = from_edge(edge, rng)
    x = np.arange(PX * FEWEST) / PX
    over = np.clip(z * PX / rng.uniform(0.7, 4) + 0.5, 0, 1) * np.clip((deep - z) * PX / 2 + 0.5, 0, 1)
    if rng.random() < 0.2:
        a, b = rng.uniform(-1, 4), rng.uniform(8, 13)
        over = over * ((x > a) & (x < b))[None]
    if rng.random() < 0.4:
        colour = texture.astype(np.float32) * rng.uniform(0.5, 1.3)
    else:
        colour = np.broadcast_to(rng.uniform(5, 245) * rng.uniform(0.75, 1.25, 3), (*z.shape, 3))
        if rng.random() < 0.4:  # as bright as what it lies on
            colour = strip[..., :3].reshape(-1, 3)[rng.integers(z.size, size=30)].mean(0) * np.ones_like(colour)
        light = 1 + rng.uniform(0, 0.5) * np.cos(z * rng.uniform(0.5, 5) + rng.uniform(0, 6)) + rng.uniform(-0.03, 0.03) * x[None]
        if rng.random() < 0.3:
            light = light + rng.uniform(0, 0.3) * np.sign(np.sin((z if rng.random() < 0.5 else x[None]) * rng.uniform(3, 20) + rng.uniform(0, 6)))
        grain = cv2.GaussianBlur(rng.normal(0, 1, z.shape).astype(np.float32), (0, 0), rng.uniform(0.5, 3))
        colour = colour * light[..., None] + (grain / grain.std() * rng.uniform(0, 12))[..., None]
    below = strip[..., :3].astype(np.float32)
    if rng.random() < 0.6:
        reach = rng.uniform(0.05, 0.7)
        below = below * (1 - rng.uniform(0.1, 0.7) * np.clip(1 + z / reach, 0, 1) * (z < 0))[..., None]
    mixed = below * (1 - over[..., None]) + colour * over[..., None]
    return np.dstack([np.clip(mixed, 0, 255).astype(np.uint8), strip[..., 3]])


def cut(strip, edge, rng):
    """The photo ends at `edge`."""
    return np.where((from_edge(edge, rng) > 0)[..., None], np.uint8(0), strip)


def partly_seen(side, texture, rng):
    """A strip along the last row that is seen, wholly or by half, where a cover or the frame hides those behind it."""
    hidden = rng.uniform(0.1, min(3.2, side.deep - 2.5))
    back = max(0, round(hidden + rng.uniform(-0.25, 0.25)))
    strip = side.strip(back, rng)
    if rng.random() < 0.3:
        return cut(strip, back - hidden, rng)
    return covered(strip, back - hidden, hidden + rng.uniform(0.3, 3) if rng.random() < 0.5 else 99, texture, rng)


def lines_under(side, tray, truth, size):
    """How many rows within its side the things and shadows lie that lie across the tray, along this side."""
    if not truth.get("across_px"):
        return []
    place, rows = plane_from_photo(tray, size, truth["camera"]["k1"]), []
    for first, last in truth["across_px"]:
        points = place(np.linspace(first, last, 40))
        deep, along = (points[:, 0], points[:, 1]) if side.upright else (points[:, 1], points[:, 0])
        back = (side.sign * (side.end - deep))[(along > side.first) & (along < side.first + side.cells)]
        if len(back) > 2 and np.ptp(back) < 2 and 0 < back.mean() < side.deep:
            rows.append(back.mean())
    return rows


def strips_of(image, truth, rng):
    """Strips (n, DEPTH, PX FEWEST, 4) and what the lines along their middle are (n)."""
    strips, kinds, sizes = [], [], {}
    for tray in trays_of(truth):
        if not tray.get("complete", True) or min(tray["rows"], tray["cols"]) < 3 or \
                np.median([c["half_pitch_px"] for c in tray["cells"]]) < 5:
            continue
        photo = fit_tray(tray, (image.shape[1], image.shape[0]), truth["camera"]["k1"])
        for number in range(4):
            side = Side(image, sizes, tray, photo, number)
            s, zoom = int(rng.integers(20, max(21, min(image.shape[:2]) // 3))), (PX * FEWEST, DEPTH)
            y, x = rng.integers(image.shape[0] - s), rng.integers(image.shape[1] - s)
            texture = cv2.resize(image[y:y + s, x:x + s], zoom)
            made = [(END, side.strip(0, rng))]
            if rng.random() < 0.5:
                made.append((END, covered(side.strip(0, rng), rng.uniform(0.35, 1.2), 99, texture, rng)))
            if side.deep >= 4:
                made += [(HIDDEN, partly_seen(side, texture, rng)) for _ in range(2)]
                made.append((GOES_ON, side.strip(int(rng.integers(1, side.deep - 1)), rng)))
                for back in lines_under(side, tray, truth, (image.shape[1], image.shape[0])):
                    for at in {int(np.clip(round(back + rng.uniform(-0.5, 2)), 1, side.deep - 2)) for _ in range(3)}:
                        made.append((GOES_ON, side.strip(at, rng)))
            if rng.random() < 0.5:
                made.append((BEYOND, side.strip(-1, rng)))
            kinds += [kind for kind, _ in made]
            strips += [strip for _, strip in made]
    if not strips:
        return np.zeros((0, DEPTH, PX * FEWEST, 4), np.uint8), np.zeros(0, np.int64)
    return np.stack(strips), np.array(kinds)
