# SPDX-License-Identifier: Apache-2.0
"""Pieces of painted trays on the device, taken in while others are still being painted."""
import glob
import os
import threading
import time

import numpy as np
import torch

from scenes import PARTS


class Store:
    """Room for `most` tiles, in the order of PARTS; when it is full, new ones take the place of the oldest."""

    def __init__(self, most, dev):
        self.most, self.dev, self.parts, self.seen = most, dev, None, 0
        self.weight = torch.zeros(most, device=dev)

    def put(self, arrays, weight):
        if self.parts is None:
            self.parts = [torch.zeros(self.most, *a.shape[1:], dtype=torch.from_numpy(a[:0]).dtype, device=self.dev) for a in arrays]
        at = torch.arange(self.seen, self.seen + len(arrays[0]), device=self.dev) % self.most
        self.weight[at] = 0
        for whole, array in zip(self.parts, arrays):
            whole[at] = torch.from_numpy(array).to(self.dev)
        self.weight[at] = weight
        self.seen += len(at)

    def __len__(self):
        return min(self.seen, self.most)


class Feed:
    """Reads the tiles of `folder`: every tenth scene into `test`, the others into `train`."""

    def __init__(self, folder, dev, most, most_test, weight_of):
        self.folder, self.weight_of, self.known, self.scenes = folder, weight_of, set(), 0
        self.done = threading.Event()
        self.train, self.test = Store(most, dev), Store(most_test, dev)

    def take_in(self):
        """Reads what has come since. Facts are written last: where they stand, the rest does."""
        names = {path[:-len(".facts.npy")] for path in glob.glob(os.path.join(self.folder, "*.facts.npy"))} - self.known
        for name in sorted(names):
            if self.done.is_set():
                break
            self.known.add(name)
            arrays = [np.load(f"{name}.{part}.npy") for part in PARTS]
            held = arrays[-1][0, 3] == 1
            if held and self.test.seen >= self.test.most:
                continue
            (self.test if held else self.train).put(arrays, self.weight_of(arrays[-1][0]))
            self.scenes += 1
        return len(names)

    def follow(self):
        """Goes on reading in the background until `stop`."""
        def work():
            while not self.done.is_set():
                if not self.take_in():
                    time.sleep(2)
        self.reader = threading.Thread(target=work, daemon=True)
        self.reader.start()

    def stop(self):
        self.done.set()
        self.reader.join()
