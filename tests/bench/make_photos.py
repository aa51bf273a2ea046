# SPDX-License-Identifier: Apache-2.0
"""make_photos.py FOLDER PHOTO...: each photo at 3, 12 and 48 megapixels, as FOLDER/NAME-MP.jpg.

Enlarged by bicubic interpolation (shrunk by averaging), with Gaussian noise of 2 grey levels on what was enlarged, so
that the files are about as large and as slow to decode as a phone's; JPEG of quality 90. The noise has a fixed seed.
Beside each photo goes NAME-MP.truth.json: the truth's cells, in pixels of the new photo.
"""
import json
import pathlib
import sys

import cv2
import numpy as np

WIDTHS = {3: 2000, 12: 4000, 48: 8000}


def resized(photo, width):
    size = (width, width * photo.shape[0] // photo.shape[1])
    if width <= photo.shape[1]:
        return cv2.resize(photo, size, interpolation=cv2.INTER_AREA)
    large = cv2.resize(photo, size, interpolation=cv2.INTER_CUBIC)
    noise = np.random.default_rng(1).standard_normal(large.shape, dtype=np.float32) * 2
    return cv2.add(large, np.round(noise).astype(np.int16), dtype=cv2.CV_8U)


def cells_of(truth):
    return truth["cells"] if "cells" in truth else [cell for tray in truth["trays"] for cell in tray["cells"]]


def layout_of(truth):
    return truth["tray"] if "tray" in truth else truth["trays"][0]


def main(folder, photos):
    folder.mkdir(parents=True, exist_ok=True)
    for path in photos:
        photo = cv2.imread(str(path))
        truth = json.loads(path.with_suffix(".truth.json").read_text())
        for megapixels, width in WIDTHS.items():
            target = folder / f"{path.stem}-{megapixels}.jpg"
            cv2.imwrite(str(target), resized(photo, width), [cv2.IMWRITE_JPEG_QUALITY, 90])
            scale = width / photo.shape[1]
            tray = layout_of(truth)
            cells = [{"row": cell["row"], "col": cell["col"], "visible": cell["visible"],
                      "centre_px": [scale * part for part in cell["centre_px"]],
                      "half_pitch_px": scale * cell["half_pitch_px"]} for cell in cells_of(truth)]
            target.with_suffix(".truth.json").write_text(json.dumps(
                {"rows": tray["rows"], "cols": tray["cols"], "lattice": tray["lattice"], "cells": cells}))


if __name__ == "__main__":
    main(pathlib.Path(sys.argv[1]), [pathlib.Path(name) for name in sys.argv[2:]])
