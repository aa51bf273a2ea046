# SPDX-License-Identifier: Apache-2.0
"""plain_pipeline.py PHOTO TRUTH: what a handful of lines over OpenCV and scikit-image make of the same photo.

Excess green, Otsu's threshold, labelling, one seedling for each patch of plant that is not tiny, put into the nearest
cell. To be a fair rival it is told where each cell is (the truth's centres), which braird has to find, and it too reads
the JPEG at half its size, so that nothing is done at a scale that counting does not need. Prints the share of cells
whose state (empty, single, multiple) is right.
"""
import json
import sys

import cv2
import numpy as np
from skimage.filters import threshold_otsu
from skimage.measure import label, regionprops_table

LEAST_OF_CELL = 0.004  # of a cell's area: a cotyledon of 2 mm in a cell of 30 mm


def seedlings(photo, cells):
    bgr = cv2.imread(photo, cv2.IMREAD_REDUCED_COLOR_2)
    blue, green, red = (channel.astype(np.int16) for channel in cv2.split(bgr))
    excess = cv2.GaussianBlur(2 * green - red - blue, (0, 0), 1)
    patches = label(excess > threshold_otsu(excess), connectivity=2)
    table = regionprops_table(patches, properties=("area", "centroid"))
    centres = np.array([cell["centre_px"] for cell in cells]) / 2
    half = np.array([cell["half_pitch_px"] for cell in cells]) / 2
    counts = np.zeros(len(cells), int)
    large = table["area"] > LEAST_OF_CELL * 4 * np.median(half) ** 2
    for x, y in zip(table["centroid-1"][large], table["centroid-0"][large]):
        distance = np.hypot(centres[:, 0] - x, centres[:, 1] - y)
        nearest = int(np.argmin(distance))
        if distance[nearest] < 1.2 * half[nearest]:
            counts[nearest] += 1
    return counts


def main():
    cells = json.load(open(sys.argv[2]))["cells"]
    truth = np.array([cell["visible"] for cell in cells])
    right = np.minimum(seedlings(sys.argv[1], cells), 2) == np.minimum(truth, 2)
    print(f"{right.mean():.3f}")


if __name__ == "__main__":
    main()
