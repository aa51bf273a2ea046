# SPDX-License-Identifier: Apache-2.0
"""teach_large.py ARRAYS SEEDS.safetensors OUT.pt MINUTES [FROM.pt]: the seeds' network for large trays, which looks at 64 px a cell.

It begins with the weights of the one that looks at 96 px, or goes on from FROM, and is fitted to the truth and to that one's
chances of the very tiles that it sees, so that it comes near to it at less than half of its work. OUT.pt is for export_closer.py."""
import sys

import torch
import torch.nn.functional as F

from again import lay_norms, unfold
from closer import Closer
from export import read_safetensors
from nets import FIRST, PLACES, CountNet
from scenes import CELL_OF, MOST, TILE
from tiles import fit
from train_counts import batch_of, cells_seen, feed_of, look, measure, move, normal

KIND = "seeds_large_tray"
SIDE, ACROSS = CELL_OF[KIND] * (TILE + 1), PLACES[KIND] * (TILE + 1)  # px of a tile, and places
FASTEST = 1e-3  # learning rate
TAUGHT, FIRST_LOOK, MARKS = 1.0, 0.3, 0.5  # weights beside the truth's


def shipped(path, places):
    """A Closer with the weights of a file (export_closer.py), its window resized to so many places a cell."""
    tensors, _ = read_safetensors(path)
    weights = {}
    for name, value in tensors.items():
        if name.endswith((".reach", ".usual")):
            continue
        name = name.removeprefix("nets.0.")
        if name.startswith("tell."):
            name = "near." + name[len("tell."):].replace(".conv.0.", ".tell.")
        elif not name.startswith(("near.", "like.", "know.")):
            name = "far." + name
        if name.endswith("gather.0.weight"):
            value = value[:, :, 1:, 1:]  # see export.py
            window = 2 * places - 2
            resized = F.interpolate(value, size=(window, window), mode="bilinear", align_corners=False, antialias=True)
            value = resized * (value.shape[-1] / window) ** 2
        weights[name] = value
    blocks = sum(name.startswith("far.body.") and name.endswith(".weight") for name in weights)
    net = Closer(CountNet(MOST + 1, FIRST[KIND], blocks=blocks, places=places), places=places)
    return unfold(net, weights)


def smaller(x, s, heat):
    """Tiles, what is told of them and where seeds lie, as a network sees them that looks at large trays."""
    sharp = bool(torch.rand(1) < 0.5)
    return (F.interpolate(x, size=(SIDE, SIDE), mode="bilinear", antialias=not sharp), F.adaptive_avg_pool2d(s, ACROSS),
            F.adaptive_max_pool2d(heat[:, None], 2 * ACROSS)[:, 0])


class AsSmaller(torch.nn.Module):
    """The network, shown what the other one sees."""

    def __init__(self, net):
        super().__init__()
        self.net = net

    def forward(self, x, s, cells):
        return self.net(F.interpolate(x, size=(SIDE, SIDE), mode="bilinear"), F.adaptive_avg_pool2d(s, ACROSS), cells)


def main():
    source, model, out, minutes = *sys.argv[1:4], float(sys.argv[4])
    torch.manual_seed(31)
    dev = "cuda" if torch.cuda.is_available() else "cpu"
    at = lambda net: net.to(dev).to(memory_format=torch.channels_last)
    teacher, net = at(shipped(model, PLACES["seeds"])).eval().requires_grad_(False), at(shipped(model, PLACES[KIND]))
    start = sys.argv[5] if len(sys.argv) > 5 else None
    if start:
        net.load_state_dict(torch.load(start, map_location="cpu"))
    feed = feed_of(source, dev, "seeds")
    batch = 128 if dev == "cuda" else 4

    def drawn():
        x, s, y, heat = batch_of(feed.train.parts, torch.multinomial(feed.train.weight, batch), 1)
        if torch.rand(1) < 0.3:  # seeds come in any colour
            x = x[:, torch.randperm(3)]
        x = look(move(x))
        small, told, marks = smaller(x, s, heat)
        return x, s, y, cells_seen(x), normal(small).contiguous(memory_format=torch.channels_last), told, marks

    def looks(x, s, cells):
        with torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            return [part.float() for part in net.looks(x, s, cells)]

    def loss_of_batch():
        x, s, y, cells, small, told, marks = drawn()
        with torch.no_grad(), torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            chances = teacher(normal(x).contiguous(memory_format=torch.channels_last), s, cells).float().softmax(1)
        said, first, rough, fine = looks(small, told, cells)
        there = ((y >= 0) & (cells[:, 0] > 0)).float()
        apart = (F.kl_div(said.log_softmax(1), chances, reduction="none").sum(1) * there).sum() / there.sum().clamp(min=1)
        coarse = F.max_pool2d(marks[:, None], 2)[:, 0]
        return F.cross_entropy(said, y, ignore_index=-1) + TAUGHT * apart + FIRST_LOOK * F.cross_entropy(first, y, ignore_index=-1) + \
            MARKS * F.binary_cross_entropy_with_logits(rough, coarse, weight=1 + 4 * coarse) + \
            F.binary_cross_entropy_with_logits(fine, marks, weight=1 + 9 * marks)

    def show():
        *_, cells, small, told, _ = drawn()
        looks(small, told, cells)

    if not start:
        lay_norms(net, show)
    mean, step = fit(net, feed, out, minutes, FASTEST, loss_of_batch, lambda mean: measure(AsSmaller(mean), feed.test, 600, 1, True), warm=300)
    for who, seer in (("teacher", teacher), ("end", AsSmaller(mean))):
        for told in (True, False):
            print(who, step, feed.scenes, "told" if told else "blind", measure(seer, feed.test, 10 ** 9, 1, told), flush=True)


if __name__ == "__main__":
    main()
