# SPDX-License-Identifier: Apache-2.0
"""train_ends.py ARRAYS OUT.pt MINUTES [FROM]: fits EndNet to strips along trays' sides; every tenth scene is kept for measuring.

Scenes that come into ARRAYS while it trains are taken in. OUT.pt is written every minute."""
import sys

import numpy as np
import torch
import torch.nn.functional as F

from again import lay_norms
from nets import EndNet
from tiles import begin, fit
from train_lattice import look

ROOM = 300000 if torch.cuda.is_available() else 30000  # strips kept on the device: 37 kB each
ENOUGH = 200  # scenes to begin with


def read(name):
    with np.load(name + ".ends") as a:
        return (a["strips"], a["kinds"]), name[-1] == "0", 1


def input_of(strips, seen_anew=False):
    """What the network takes: colours about their mean over the photo's part of each strip, and that part."""
    x = strips.permute(0, 3, 1, 2).float() / 255
    shown, bgr = x[:, 3:].round(), x[:, :3]
    if seen_anew:
        bgr = look(bgr)
    bgr, n = bgr * shown, shown.sum((2, 3), keepdim=True).clamp(min=1)
    off = (bgr - bgr.sum((2, 3), keepdim=True) / n) * shown
    spread = ((off ** 2).sum((1, 2, 3), keepdim=True) / (3 * n)).sqrt()
    return torch.cat([off / (spread + 0.02), shown], 1)


def main():
    source, out, minutes = sys.argv[1], sys.argv[2], float(sys.argv[3])
    dev, feed, net, shipped = begin(EndNet, source, ".ends", read, ROOM, ENOUGH, *sys.argv[4:5])
    batch = 512 if dev == "cuda" else 64

    def loss_of_batch():
        i = torch.randint(len(feed.train), (batch,), device=dev)
        x = input_of(feed.train.parts[0][i], True)
        if torch.rand(1) < 0.5:
            x = x.flip(3)
        with torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            return F.cross_entropy(net(x).float(), feed.train.parts[1][i])

    if shipped:
        lay_norms(net, loss_of_batch)

    mean, step = fit(net, feed, out, minutes, 5e-4 if shipped else 2e-3, loss_of_batch, lambda mean: measure(mean, feed.test, 5000), every=500)
    print("end", step, feed.scenes, measure(mean, feed.test, 10 ** 9), flush=True)


@torch.no_grad()
def measure(net, test, most):
    """Loss over at most so many strips of `test`; of each kind, how many of 100 have their own as the likeliest."""
    if not len(test):
        return "held out: none"
    net.eval()
    loss, right, count, looked = 0, torch.zeros(4), torch.zeros(4), min(len(test), most)
    for i in torch.arange(looked, device=test.dev).split(500):
        y, kinds = net(input_of(test.parts[0][i])).float(), test.parts[1][i]
        loss += F.cross_entropy(y, kinds, reduction="sum").item()
        for kind in range(4):
            right[kind] += (y.argmax(1)[kinds == kind] == kind).sum().item()
            count[kind] += (kinds == kind).sum().item()
    net.train()
    return "held out: loss %.4f right %.1f %.1f %.1f %.1f" % (loss / looked, *(100 * right / count.clamp(min=1)))


if __name__ == "__main__":
    main()
