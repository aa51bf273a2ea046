# SPDX-License-Identifier: Apache-2.0
"""train_counts.py ARRAYS OUT.pt MINUTES [counts|seeds [FROM.pt]]: fits CountNet to painted trays; every tenth scene is for measuring.

Scenes that come into ARRAYS while it trains are taken in. OUT.pt is written every minute."""
import sys

import numpy as np
import torch
import torch.nn.functional as F

from nets import counter
from scenes import MOST, PARTS, TILE, at_size_for
from tiles import Feed, fit

FASTEST = 1e-3  # learning rate
ROOM = {"counts": 44000, "seeds": 26000} if torch.cuda.is_available() else {"counts": 2000, "seeds": 1000}  # 1.3, 2.3 MB a tile
ENOUGH = 200  # scenes to begin with


def look(x):
    """Another camera: light, colour, blur, noise, for two tiles in three; the padding stays black. x: (n, 3, h, w) in 0..1."""
    n, dev = len(x), x.device
    u = lambda lo, hi, *s: torch.rand(n, *s, 1, 1, device=dev) * (hi - lo) + lo
    seen = (x.sum(1, keepdim=True) > 0).float()
    y = x ** torch.exp(u(-0.35, 0.35, 1)) * torch.exp(u(-0.3, 0.3, 1)) * torch.exp(u(-0.15, 0.15, 3))
    grey = y.mean(1, keepdim=True)
    y = grey + (y - grey) * u(0.6, 1.4, 1)
    soft = F.interpolate(F.avg_pool2d(y, 2), scale_factor=2, mode="bilinear")
    y = torch.lerp(y, soft, (u(-2, 1, 1)).clamp(min=0))
    y = (y + torch.randn_like(y) * (u(-0.04, 0.04, 1)).clamp(min=0)).clamp(0, 1)
    return torch.where(torch.rand(n, 1, 1, 1, device=dev) < 0.67, y, x) * seen


def move(x):
    """The same tiles as from a lattice a little off: nearer, farther, turned, shifted."""
    n = len(x)
    u = lambda most: (torch.rand(n, device=x.device) * 2 - 1) * most
    grown, turn, t = 1 + u(0.04), u(0.035), torch.zeros(n, 2, 3, device=x.device)
    t[:, 0, 0], t[:, 0, 1], t[:, 1, 0], t[:, 1, 1] = turn.cos() * grown, -turn.sin(), turn.sin(), turn.cos() / grown
    t[:, 0, 2], t[:, 1, 2] = u(0.008), u(0.008)
    return F.grid_sample(x, F.affine_grid(t, x.shape, align_corners=False), align_corners=False)


def across(x, s, y, heat):
    """The tiles of square lattices with rows and columns swapped; staggered ones as they are."""
    square = (y[:, :, 1::2] < 0).flatten(1).all(1)
    swap = lambda a: torch.where(square.view(-1, *[1] * (a.dim() - 1)), a.transpose(-1, -2), a)
    counts = y.clone()
    counts[:, :, ::2] = swap(y[:, :, ::2])
    return swap(x), torch.where(square[:, None, None, None], s.flip(1).transpose(2, 3), s), counts, swap(heat)


def sides_of(lean, facts, told):
    """What the network is told beside the picture; `told` (n, 2): whether it is told the habit and the seeds sown."""
    n, _, h, w = lean.shape
    s = torch.zeros(n, 8, h, w, device=lean.device)
    s[:, :2] = lean
    s[torch.arange(n), 2 + facts[:, 0] * told[:, 0]] = 1
    sown = facts[:, 1] * told[:, 1]
    s[:, 6], s[:, 7] = (sown / 8)[:, None, None], (sown > 0).float()[:, None, None]
    return s


def normal(x):
    """Light balance: each channel over its mean over the tray. x: (n, 3, h, w) in 0..1."""
    seen = (x.sum(1, keepdim=True) > 0).float()
    mean = (x * seen).sum((2, 3), keepdim=True) / seen.sum((2, 3), keepdim=True).clamp(min=1)
    return ((x / mean.clamp(min=0.01) - 1).clamp(-1, 3)) * seen


def cells_seen(x):
    cell = x.shape[-1] // (TILE + 1)
    return (x[:, :, cell:-1:cell, cell:-1:cell // 2].sum(1, keepdim=True) > 0).float()[:, :, :, :2 * TILE - 1]


def batch_of(tiles, i, field):
    pictures, _, _, lean, marks, facts = tiles
    y = tiles[1 + field][i].long().clamp(max=MOST)
    x, s = pictures[i].permute(0, 3, 1, 2).float() / 255, lean[i].float()
    heat = marks[i].float().clamp(max=1)
    if torch.rand(1) < 0.5:
        x, s, y, heat = x.flip(3), s.flip(3) * torch.tensor([-1.0, 1], device=x.device)[:, None, None], y.flip(2), heat.flip(2)
    if torch.rand(1) < 0.5:
        x, s, y, heat = x.flip(2), s.flip(2) * torch.tensor([1.0, -1], device=x.device)[:, None, None], y.flip(1), heat.flip(1)
    if torch.rand(1) < 0.5:
        x, s, y, heat = across(x, s, y, heat)
    told = (torch.rand(len(i), 2, device=x.device) < 0.7).long()
    return x, sides_of(s, facts[i].long(), told), y, heat


def feed_of(source, dev, kind):
    """The arrays of prepare.py in `source`, and those still to come."""
    field = int(kind == "seeds")

    def read(name):
        arrays = [np.load(f"{name}.{part}.npy") for part in PARTS]
        if not field:
            arrays[0] = at_size_for(kind, arrays[0])
        facts = arrays[-1][0]
        del arrays[PARTS.index("stems" if field else "lying")]
        # A photo's pieces resemble each other; for seeds, photos with seeds in view matter most.
        return arrays, facts[3] == 1, (8 if field and facts[2] else 1) / facts[4] ** 0.5

    feed = Feed(source, dev, ROOM[kind], ROOM[kind] // 12, ".facts.npy", read)
    feed.wait_for(ENOUGH)
    feed.follow()
    return feed


def main():
    source, out, minutes = sys.argv[1], sys.argv[2], float(sys.argv[3])
    kind = sys.argv[4] if len(sys.argv) > 4 else "counts"
    field = int(kind == "seeds")
    torch.manual_seed(2)
    dev = "cuda" if torch.cuda.is_available() else "cpu"

    feed = feed_of(source, dev, kind)
    net = counter(kind, MOST + 1, torch.load(sys.argv[5], map_location="cpu") if len(sys.argv) > 5 else None)
    net = net.to(dev).to(memory_format=torch.channels_last)
    batch = (64 if field else 128) if dev == "cuda" else 8

    def loss_of_batch():
        x, s, y, heat = batch_of(feed.train.parts, torch.multinomial(feed.train.weight, batch), field)
        x = move(x)
        cells = cells_seen(x)
        with torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            f = net.features(normal(look(x)).to(memory_format=torch.channels_last), s)
            z, marks = net.counts(f, cells).float(), net.stems(f)[:, 0].float()
        heat = F.max_pool2d(heat[:, None], 2)[:, 0]
        # Where stems stand, or seeds lie, is known too, and teaches faster than counts alone.
        return F.cross_entropy(z, y, ignore_index=-1) + F.binary_cross_entropy_with_logits(marks, heat, weight=1 + 4 * heat)

    mean, step = fit(net, feed, out, minutes, FASTEST, loss_of_batch, lambda mean: measure(mean, feed.test, 600, field, True), warm=300)
    for told in (True, False):
        print("end", step, feed.scenes, "told" if told else "blind", measure(mean, feed.test, 10 ** 9, field, told), flush=True)


@torch.no_grad()
def measure(net, test, most, field, told):
    """Share of cells with the right state and count, mean loss, mean chance of the likeliest; the same by habit. Looks at
    `most` tiles of `test`."""
    if not len(test):
        return "held out: none"
    net.eval()
    said, true, habit, loss, sure = [], [], [], [], []
    for i in torch.arange(min(len(test), most), device=test.dev).split(128):
        pictures, _, _, lean, _, facts = test.parts
        x, y = pictures[i].permute(0, 3, 1, 2).float() / 255, test.parts[1 + field][i].long().clamp(max=MOST)
        s = sides_of(lean[i].float(), facts[i].long(), torch.full((len(i), 2), int(told), device=x.device))
        z = net(normal(x), s, cells_seen(x)).float().permute(0, 2, 3, 1)
        kept = y >= 0
        habit.append(facts[i, 0][:, None, None].expand_as(y)[kept])
        loss.append(F.cross_entropy(z[kept], y[kept], reduction="none"))
        top, best = z[kept].softmax(1).max(1)
        said.append(best), true.append(y[kept]), sure.append(top)
    net.train()
    said, true, habit, loss, sure = [torch.cat(part) for part in (said, true, habit, loss, sure)]
    state, exact = (said.clamp(max=2) == true.clamp(max=2)).float(), (said == true).float()
    empty = f"empty {(said[true == 0] == 0).float().mean():.3f} {(true[said == 0] == 0).float().mean():.3f}"
    by = " ".join(f"[{h}] {state[habit == h].mean():.3f} {exact[habit == h].mean():.3f}" for h in range(4))
    return f"held out: state {state.mean():.4f} exact {exact.mean():.4f} loss {loss.mean():.4f} sure {sure.mean():.4f} {empty} {by}"


if __name__ == "__main__":
    main()
