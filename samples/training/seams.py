# SPDX-License-Identifier: Apache-2.0
"""Trays of painted photos laid flat together with what touches them, for the network that tells where within a lattice one tray ends
and another begins."""
import cv2
import numpy as np

from ends import PX, seen_at
from scenes import distort, fit_tray, plane_from_photo, shift_of, spread, trays_of, undistort

BESIDE = 1  # cells that are shown beside a lattice; vision/seams_within.cpp says the same, vision/net/line_networks.cpp of the next
STRIDE = 4  # px a place of what the network sees
SIDE = 14  # cells a side of a piece
SMALLEST = 10  # px a cell in the photo


def hull(tray):
    """The first and the last line of a tray's cells, across and down."""
    shift = shift_of(tray)
    return (min(0, shift) - 0.5, tray["cols"] - 0.5 + max(0, shift)), (-0.5, tray["rows"] - 0.5)


def photo_by_outline(other, tray, place, size, k1):
    """Places of `other`, of which the photo shows next to nothing, -> photo pixels, by its rim, as that lies about a tray of its make."""
    rim = place(np.array(tray["outline_px"], float)).astype(np.float32)
    H = cv2.getPerspectiveTransform(rim, undistort(np.array(other["outline_px"], float), size, k1).astype(np.float32))
    return lambda places: distort(cv2.perspectiveTransform(places[None], H)[0], size, k1)


def of_one_make(tray, other):
    return all(tray[fact] == other[fact] for fact in ("rows", "cols", "lattice", "pitch_mm"))


class Neighbour:
    """A tray that touches another one, or nearly so, along one of its sides; None as `axis` if it doesn't."""

    def __init__(self, tray, place, other, photo, own_photo, size):
        """place: photo pixels -> places of `tray`, own_photo: back; photo: places of `other` -> photo pixels."""
        self.axis = None
        (u0, u1), (v0, v1) = hull(other)
        corners = place(photo(np.array([[u0, v0], [u1, v0], [u1, v1], [u0, v1]], float)))
        low, high = corners.min(0), corners.max(0)
        for axis in (0, 1):
            own, along = hull(tray)[axis], hull(tray)[1 - axis]
            shared = min(high[1 - axis], along[1]) - max(low[1 - axis], along[0])
            if shared < 0.7 * (along[1] - along[0]):
                continue
            lines = np.sort(corners[:, axis])  # two nearly alike at either side
            for side, gap, near in ((1, lines[:2].mean() - own[1], lines[:2]), (0, own[0] - lines[2:].mean(), lines[2:])):
                if -0.3 < gap < 1.5 and np.ptp(near) < 0.8:
                    self.axis, self.side, self.gap = axis, side, max(0.0, gap)
                    self.deep = min(lines[2:].mean() - lines[:2].mean(), self.in_view(own, along, own_photo, size))

    def in_view(self, own, along, own_photo, size):
        """How many of its rows the photo shows at most, the last one perhaps in part."""
        beyond = np.arange(0.25, 40, 0.25)
        out = own[self.side] + (1 if self.side else -1) * (self.gap + beyond)
        seen = np.zeros(len(beyond), bool)
        for share in (0.1, 0.5, 0.9):
            across = np.full(len(out), along[0] + share * (along[1] - along[0]))
            at = own_photo(np.c_[out, across] if self.axis == 0 else np.c_[across, out])
            seen |= (at > 0).all(1) & (at < np.array(size)).all(1)
        return np.ceil(beyond[seen].max()) if seen.any() else 0.0


def neighbours_of(tray, trays, size, k1):
    place, own_photo = plane_from_photo(tray, size, k1), fit_tray(tray, size, k1)
    others = []
    for other in trays:
        shown = spread(other) >= 2 and len(other["cells"]) >= 4
        if other is tray or not (shown or of_one_make(tray, other)):
            continue
        photo = fit_tray(other, size, k1) if shown else photo_by_outline(other, tray, place, size, k1)
        others.append(Neighbour(tray, place, other, photo, own_photo, size))
    return [n for n in others if n.axis is not None and n.deep > 0]


def axis_places(own, beyond, rng):
    """Along one axis: the ends of a lattice over a tray and some of a neighbour, if any; where a place of it lies in the tray; and
    whether a seam runs there."""
    if beyond is None:
        return alone_places(own, rng)
    end, sign = own[beyond.side], 1 if beyond.side else -1
    empty = int(beyond.gap > rng.uniform(0.3, 0.7))
    lost, width = beyond.gap - empty, rng.uniform(0.4, 6)
    middle = end + sign * empty / 2
    if rng.random() < 0.15:
        lost = 0.0  # the lattice goes on as if there were nothing
    share = rng.uniform(0, 1)

    def in_tray(d):
        return d + sign * lost * (np.clip(sign * (d - middle) / width + 0.5, 0, 1) - (0 if share < 0.7 else 0.5))

    rows = max(1, round(beyond.deep * (1 if rng.random() < 0.6 else rng.uniform(0, 1))))
    ends = (own[0], end + empty + rows) if sign > 0 else (end - empty - rows, own[1])

    def seam(d):
        out = sign * (in_tray(d) - end)
        off = np.maximum(np.maximum(-out, out - beyond.gap), 0)
        beside = np.minimum(d - ends[0], ends[1] - d) < 0.3
        return np.where(beside | ((off > 0.2) & (off < 0.55)), -1, off <= 0.2).astype(float)

    return ends, in_tray, seam


def alone_places(own, rng):
    """The same of a tray by itself: at times the lattice reaches up to a cell beyond it, whose end then counts as a seam, or leaves
    out a row or two."""
    more = [rng.choice([0, 0.5, 1, -1, -2], p=[0.66, 0.12, 0.12, 0.05, 0.05]) if own[1] - own[0] >= 6 else 0 for _ in own]
    ends = own[0] - more[0], own[1] + more[1]

    def seam(d):
        within = np.minimum(d - own[0], own[1] - d)  # how far within the tray
        beside = (np.minimum(d - ends[0], ends[1] - d) < 0.3) | (within < -0.2)
        return np.where(beside | ((within > 0.2) & (within < 0.55) & (np.minimum(d - ends[0], ends[1] - d) > within + 0.3)),
                        -1, within <= 0.2).astype(float)

    return ends, lambda d: d, seam


def piece(image, sizes, tray, photo, beyond, rng):
    """A piece of a tray laid flat, with a neighbour or none: the picture (h, w, 4), BGR and whether the photo shows something; for
    columns' and rows' lines, one for half a cell, 1 where a seam runs, 0 where none does, -1 where nobody asks; from which place to
    which the lattice reaches, across and down."""
    ends, in_tray, seams, starts, spans = [], [], [], [], []
    for axis in (0, 1):
        axis_ends, to_tray, seam = axis_places(hull(tray)[axis], beyond if beyond and beyond.axis == axis else None, rng)
        whole = axis_ends[1] - axis_ends[0] + 2 * BESIDE
        spare = max(0.0, whole - SIDE)
        start = axis_ends[0] - BESIDE + np.floor(2 * rng.uniform(0, spare + 0.49)) / 2
        if beyond and beyond.axis == axis and spare and rng.random() < 0.8:  # about the seam
            at = hull(tray)[axis][beyond.side] - rng.uniform(0.25, 0.75) * SIDE
            start = np.clip(axis_ends[0] - BESIDE + np.round(2 * (at - axis_ends[0])) / 2, axis_ends[0] - BESIDE, axis_ends[0] - BESIDE + spare)
        lines = start + np.arange(2 * SIDE) / 2
        inside = (lines >= axis_ends[0] + 0.3) & (lines <= axis_ends[1] - 0.3)
        seams.append(np.where(inside, seam(lines), -1).astype(np.int8))
        first, last = (np.array(axis_ends) - start) * PX / STRIDE
        spans.append([max(0, round(first)), min(SIDE * PX // STRIDE, round(last))])
        ends.append(axis_ends), in_tray.append(to_tray), starts.append(start)
    every = 4
    net = (np.arange(-every, SIDE * PX + every, every) + (every - 1) / 2) / PX
    u, v = np.meshgrid(starts[0] + net, starts[1] + net)
    cu, cv_ = u - u.mean(), v - v.mean()
    wobble = rng.normal(0, [0.05, 0.05, 0.006, 0.006, 0.006, 0.006])
    u, v = u + wobble[0] + wobble[2] * cu + wobble[3] * cv_, v + wobble[1] + wobble[4] * cu + wobble[5] * cv_
    at = photo(np.c_[in_tray[0](u).ravel(), in_tray[1](v).ravel()]).reshape(*u.shape, 2).astype(np.float32) - 0.5
    middle = len(net) // 2
    across, down = at[middle, middle + 1] - at[middle, middle], at[middle + 1, middle] - at[middle, middle]
    pitch = PX / every * np.sqrt(abs(across[0] * down[1] - across[1] * down[0]))
    at = cv2.resize(at, None, fx=every, fy=every, interpolation=cv2.INTER_LINEAR)[every:-every, every:-every]
    picture = seen_at(image, sizes, at, pitch)
    shown = picture[..., 3] > 0
    for axis in (0, 1):  # beyond the lattice's margin nothing is shown
        places = starts[axis] + np.arange(SIDE * PX) / PX
        within = (places >= ends[axis][0] - BESIDE) & (places < ends[axis][1] + BESIDE)
        shown = shown & (within[None] if axis == 0 else within[:, None])
    return np.dstack([picture[..., :3] * shown[..., None], shown * np.uint8(255)]), np.stack(seams), np.array(spans, np.int16)


def pieces_of(image, truth, rng):
    """(pictures, seams, spans, whether rows are staggered) of a scene's trays, stacked; None without any."""
    size, k1, trays = (image.shape[1], image.shape[0]), truth["camera"]["k1"], trays_of(truth)
    pieces, sizes = [], {}
    for tray in trays:
        if spread(tray) < 3 or 2 * np.median([c["half_pitch_px"] for c in tray["cells"]]) < SMALLEST:
            continue
        photo = fit_tray(tray, size, k1)
        beside = neighbours_of(tray, trays, size, k1)
        for beyond in [None] + beside + [b for b in beside if b.gap < 0.8]:
            pieces.append((*piece(image, sizes, tray, photo, beyond, rng), np.int8(shift_of(tray) != 0)))
    return [np.stack(part) for part in zip(*pieces)] if pieces else None
