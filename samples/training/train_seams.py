# SPDX-License-Identifier: Apache-2.0
"""train_seams.py ARRAYS OUT.pt MINUTES [FROM]: fits SeamNet to trays laid flat with what touches them; every tenth scene is kept for
measuring.

Scenes that come into ARRAYS while it trains are taken in. OUT.pt is written every minute."""
import sys

import numpy as np
import torch
import torch.nn.functional as F

from again import lay_norms
from ends import PX
from nets import SeamNet
from seams import SIDE, STRIDE
from tiles import begin, fit
from train_ends import input_of
from train_lattice import look

ROOM = 120000 if torch.cuda.is_available() else 4000  # pieces kept on the device: 200 kB each
ENOUGH = 200  # scenes to begin with
PLACES = SIDE * PX // STRIDE


def read(name):
    with np.load(name + ".seams") as a:
        return (a["pictures"], a["seams"], a["spans"], a["staggered"]), name[-1] == "0", 1


def inside_of(spans):
    """Which places are a lattice's: spans (n, 2, 2) -> (n, 1, PLACES, PLACES)."""
    place = torch.arange(PLACES, device=spans.device)
    across, down = ((place >= spans[:, axis, :1]) & (place < spans[:, axis, 1:]) for axis in (0, 1))
    return (across[:, None, None] & down[:, None, :, None]).float()


def mirrored(x, seams, spans):
    """The other way round across: a line at a pixel comes to lie at one again."""
    across = F.pad(seams[:, 0, 1:].flip(1), (1, 0), value=-1)
    return (x.flip(3).roll(1, 3), torch.stack([across, seams[:, 1]], 1),
            torch.stack([PLACES - spans[:, 0].flip(1), spans[:, 1]], 1))


def turned(x, seams, spans):
    return x.transpose(2, 3), seams.flip(1), spans.flip(1)


def loss_of(net, x, seams, spans):
    y = torch.stack(net(x, inside_of(spans)), 1).float()
    return F.binary_cross_entropy_with_logits(y, seams.clamp(min=0).float(), (seams >= 0).float(), reduction="sum") / len(x), y


def main():
    source, out, minutes = sys.argv[1], sys.argv[2], float(sys.argv[3])
    dev, feed, net, shipped = begin(SeamNet, source, ".seams", read, ROOM, ENOUGH, *sys.argv[4:5])
    batch = 128 if dev == "cuda" else 16

    def loss_of_batch():
        pick = torch.randint(len(feed.train), (batch,), device=dev)
        pictures, seams, spans, kinds = (part[pick] for part in feed.train.parts)
        x = input_of(pictures, True)
        if torch.rand(1) < 0.5:
            x, seams, spans = mirrored(x, seams, spans)
        if torch.rand(1) < 0.5:  # up and down
            x, seams, spans = turned(*mirrored(*turned(x, seams, spans)))
        if torch.rand(1) < 0.5:  # honeycombs stay as they lie
            square = kinds == 0
            other = turned(x[square], seams[square], spans[square])
            x, seams, spans = x.clone(), seams.clone(), spans.clone()
            x[square], seams[square], spans[square] = other
        with torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            return loss_of(net, x, seams, spans)[0]

    if shipped:
        lay_norms(net, loss_of_batch)

    mean, step = fit(net, feed, out, minutes, 5e-4 if shipped else 2e-3, loss_of_batch, lambda mean: measure(mean, feed.test, 2000), every=500)
    print("end", step, feed.scenes, measure(mean, feed.test, 10 ** 9), flush=True)


@torch.no_grad()
def measure(net, test, most):
    """Loss over at most so many pieces of `test`; of 100 pieces with a seam how many show it, at a chance of a half and a tenth, and of
    100 without how many seem to have one."""
    if not len(test):
        return "held out: none"
    net.eval()
    loss, looked, has, chance = 0, min(len(test), most), [], []
    for i in torch.arange(looked, device=test.dev).split(100):
        pictures, seams, spans, _ = (part[i] for part in test.parts)
        part, y = loss_of(net, input_of(pictures), seams, spans)
        loss += part.item() * len(i)
        has.append((seams == 1).flatten(1).any(1))
        chance.append(torch.where(torch.where(has[-1][:, None, None], seams == 1, seams == 0), y.sigmoid(), 0).flatten(1).amax(1))
    net.train()
    has, chance = torch.cat(has), torch.cat(chance)
    shares = [100 * (chance[kind] > least).float().mean().item() for kind in (has, ~has) for least in (0.5, 0.1)]
    return "held out: loss %.4f seams %.2f %.2f, none %.2f %.2f" % (loss / looked, *shares)


if __name__ == "__main__":
    main()
