# SPDX-License-Identifier: Apache-2.0
"""What all fits share: painted photos and pieces of trays on the device, taken in while others are still being painted; the steps."""
import glob
import os
import threading
import time

import numpy as np
import torch

from again import start_from


def follow(old, new, _):
    """A mean of weights over the last few hundred steps: steadier than the last one."""
    return torch.lerp(old, new, 0.004) if old.is_floating_point() else new


def save(net, path):
    torch.save({name: value.float().cpu() if value.is_floating_point() else value.cpu() for name, value in net.state_dict().items()},
               path + ".new")
    os.replace(path + ".new", path)  # whole at any moment


class Store:
    """Room for `most` pieces, each of several arrays; when it is full, new ones take the place of the oldest."""

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
    """Reads what is prepared in `folder`: every tenth scene into `test`, the others into `train`.

    A scene is there once its file that ends in `last` is. read(path without `last`) gives (arrays, whether it is kept
    for measuring, how often it is to be drawn)."""

    def __init__(self, folder, dev, most, most_test, last, read):
        self.folder, self.last, self.read, self.known, self.scenes = folder, last, read, set(), 0
        self.done = threading.Event()
        self.train, self.test = Store(most, dev), Store(most_test, dev)

    def take_in(self):
        """Reads what has come since; how many scenes that were."""
        names = {path[:-len(self.last)] for path in glob.glob(os.path.join(self.folder, "*" + self.last))} - self.known
        for name in sorted(names):
            if self.done.is_set():
                break
            self.known.add(name)
            try:
                arrays, held, weight = self.read(name)
            except OSError:  # taken away again, to make room
                continue
            if held and self.test.seen >= self.test.most:
                continue
            (self.test if held else self.train).put(arrays, weight)
            self.scenes += 1
        return len(names)

    def wait_for(self, enough):
        """Reads until there are so many scenes, or some and for half a minute no more came."""
        quiet = 0
        while self.scenes < enough and (quiet < 30 or not self.train.seen):
            quiet = 0 if self.take_in() else quiet + 1
            time.sleep(1)

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


def begin(kind, source, last, read, room, enough, start=None):
    """The device, a Feed of `source` that goes on reading once it has `enough` scenes, a new network of this kind there, from the
    weights in `start` if given, and whether these are shipped ones."""
    torch.manual_seed(1)
    dev = "cuda" if torch.cuda.is_available() else "cpu"
    feed = Feed(source, dev, room, room // 10, last, read)
    feed.wait_for(enough)
    feed.follow()
    net = kind()
    shipped = bool(start) and start_from(net, start)
    return dev, feed, net.to(dev).to(memory_format=torch.channels_last), shipped


def fit(net, feed, out, minutes, fastest, loss_of_batch, measured, decay=1e-2, warm=200, every=1000, rates=None):
    """Fits `net` for so many minutes to what `loss_of_batch()` gives, at a rate of at most `fastest`, reached in `warm` steps;
    `rates`, if given: (parameters, share of that rate) for each of its parts.

    A running mean of its weights is written to `out` every minute and, every so many steps, printed as `measured(mean)`. Returns
    that mean and how many steps it took; `feed` has stopped by then."""
    parts = [{"params": list(part), "share": share} for part, share in rates or [(net.parameters(), 1)]]
    best = torch.optim.AdamW(parts, fastest, weight_decay=decay)
    mean = torch.optim.swa_utils.AveragedModel(net, avg_fn=follow, use_buffers=True)
    start, step, saved = time.time(), 0, 0
    while (spent := (time.time() - start) / 60 / minutes) < 1:
        for group in best.param_groups:
            group["lr"] = group["share"] * (fastest * min(1, step / warm) * 0.5 * (1 + np.cos(np.pi * spent)) + 1e-5)
        loss = loss_of_batch()
        best.zero_grad()
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        best.step()
        mean.update_parameters(net)
        step += 1
        if step % every == 0:
            print(f"step {step} {spent:.2f} of {feed.scenes} scenes, loss {loss.item():.4f}", measured(mean.module), flush=True)
        if time.time() - start > saved:
            saved += 60
            save(mean.module, out)
    feed.stop()
    save(mean.module, out)
    return mean.module, step
