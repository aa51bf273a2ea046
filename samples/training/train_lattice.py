# SPDX-License-Identifier: Apache-2.0
"""train_lattice.py ARRAYS OUT.pt MINUTES [lattice|lattice_closer [FROM]]: fits a lattice's network to painted photos, the closer one
from the quick one's weights or its own (OUT.pt of another run, or a shipped file); every tenth scene is kept for measuring.

Scenes that come into ARRAYS while it trains are taken in. OUT.pt is written every minute."""
import sys

import numpy as np
import torch
import torch.nn.functional as F

from again import lay_norms, start_from
from maps import PHOTO_SIDE
from nets import LATTICE_NETS
from tiles import Feed, fit

ROOM = 62000 if torch.cuda.is_available() else 1500  # photos kept on the device: 1.2 MB each
ENOUGH = 200  # scenes to begin with


def read(name):
    """Photo (1, h, w, 3) and maps (1, 4, h/2, w/2) of a prepared scene, the longer side across."""
    with np.load(name + ".npz") as a:
        p, m = a["photo"], a["maps"]
    if p.shape[0] > p.shape[1]:
        p, m = np.rot90(p), np.rot90(m, axes=(1, 2))
    h, w = PHOTO_SIDE * 3 // 4, PHOTO_SIDE
    photo, maps = np.zeros((1, h, w, 3), np.uint8), np.zeros((1, 4, h // 2, w // 2), np.uint8)
    photo[0, :min(h, p.shape[0]), :min(w, p.shape[1])] = p[:h, :w]
    maps[0, :, :min(h // 2, m.shape[1]), :min(w // 2, m.shape[2])] = m[:, :h // 2, :w // 2]
    return (photo, maps), name[-1] == "0", 1


def look(x):
    """Another camera: light, colour, blur, noise, for two photos in three. x: (n, 3, h, w) in 0..1."""
    n, dev = len(x), x.device
    u = lambda lo, hi, *s: torch.rand(n, *s, 1, 1, device=dev) * (hi - lo) + lo
    y = x.clamp(0, 1) ** torch.exp(u(-0.5, 0.5, 1))
    dim = torch.where(torch.rand(n, 1, 1, 1, device=dev) < 0.25, u(-1.3, 0, 1), 0.0)
    y = y * torch.exp(u(-0.5, 0.4, 1) + dim) * torch.exp(u(-0.2, 0.2, 3))
    grey = y.mean(1, keepdim=True)
    y = grey + (y - grey) * u(0.3, 1.6, 1)
    swap = torch.rand(n, device=dev) < 0.1
    y = torch.where(swap[:, None, None, None], y[:, torch.randperm(3)], y)
    if torch.rand(1) < 0.25:
        k = int(torch.randint(2, 4, (1,)))
        small = F.interpolate(y, scale_factor=1 / k, mode="area")
        y = F.interpolate(small, size=y.shape[2:], mode="bilinear")
    y = (y + torch.randn_like(y) * u(-0.04, 0.05, 1).clamp(min=0)).clamp(0, 1)
    return torch.where(torch.rand(n, 1, 1, 1, device=dev) < 0.67, y, x)


def move(x, m, grown=1.4):
    """The same photo nearer or farther, turned and shifted a little."""
    n = len(x)
    s = torch.exp((torch.rand(n) * 2 - 1) * np.log(grown))
    a = (torch.rand(n) * 2 - 1) * 0.5
    r = x.shape[3] / x.shape[2]
    t = torch.zeros(n, 2, 3)
    t[:, 0, 0], t[:, 0, 1], t[:, 1, 0], t[:, 1, 1] = a.cos() * s, -a.sin() * s / r, a.sin() * s * r, a.cos() * s
    t[:, :, 2] = (torch.rand(n, 2) * 2 - 1) * 0.25
    t = t.to(x.device)
    pad = "reflection" if torch.rand(1) < 0.5 else "zeros"
    grid = F.affine_grid(t, x.shape, align_corners=False)
    gm = F.affine_grid(t, m.shape, align_corners=False)
    x = F.grid_sample(x, grid, padding_mode=pad, align_corners=False)
    # Reflected trays are trays: their maps are reflected too.
    return x, F.grid_sample(m, gm, padding_mode=pad, align_corners=False)


def hide(x):
    """Bars across some photos and covers over one side of others, as machines and benches hide rows of cells: the lattice
    goes on beneath."""
    n, _, h, w = x.shape
    u = lambda lo, hi: torch.rand(n, 1, 1, device=x.device) * (hi - lo) + lo
    yy, xx = torch.meshgrid(torch.linspace(-1, 1, h, device=x.device), torch.linspace(-1, 1, w, device=x.device), indexing="ij")
    a, which = u(0, 2 * np.pi), u(0, 1)
    along = xx * a.cos() + yy * a.sin()
    bar = ((along - u(-0.8, 0.8)).abs() < u(0.01, 0.07)) & (which < 0.12)
    cover = (along > u(0.2, 0.8)) & (which > 0.9)
    colour = torch.rand(n, 3, 1, 1, device=x.device) ** 2 * (0.7 + 0.6 * torch.rand(n, 1, h // 8, w // 8, device=x.device).repeat_interleave(8, 2).repeat_interleave(8, 3))
    return torch.where((bar | cover)[:, None], colour.clamp(0, 1), x)


def normal(x):
    return (x - 0.45) / 0.25


def loss_of(net, x, m):
    y = net.fine(normal(x)).float()
    outer = 1 + 2 * (m[:, 0] - m[:, 1]).clamp(min=0)  # where cores end is what tells butted trays apart
    region = F.binary_cross_entropy_with_logits(y[:, 0], m[:, 0]) + F.binary_cross_entropy_with_logits(y[:, 1], m[:, 1], weight=outer)
    heat = F.binary_cross_entropy_with_logits(y[:, 2], m[:, 2], weight=1 + 4 * m[:, 2])
    kind = (F.binary_cross_entropy_with_logits(y[:, 3], m[:, 3], reduction="none") * m[:, 0]).sum() / m[:, 0].sum().clamp(min=1)
    return region + 2 * heat + 0.3 * kind, (region.item(), heat.item(), kind.item())


def batch_of(parts, i):
    x, m = parts[0][i].permute(0, 3, 1, 2).float() / 255, parts[1][i].float() / 255
    k = int(torch.randint(0, 4, (1,)))
    x, m = torch.rot90(x, k, (2, 3)), torch.rot90(m, k, (2, 3))
    if torch.rand(1) < 0.5:
        x, m = x.flip(3), m.flip(3)
    return move(x, m)


def main():
    source, out, minutes = sys.argv[1], sys.argv[2], float(sys.argv[3])
    torch.manual_seed(1)
    dev = "cuda" if torch.cuda.is_available() else "cpu"
    feed = Feed(source, dev, ROOM, ROOM // 12, ".npz", read)
    feed.wait_for(ENOUGH)
    feed.follow()
    net = LATTICE_NETS[sys.argv[4] if len(sys.argv) > 4 else "lattice"]()
    start = sys.argv[5] if len(sys.argv) > 5 else None
    shipped = bool(start) and start_from(net, start)
    net = net.to(dev).to(memory_format=torch.channels_last)
    batch = 48 if dev == "cuda" else 4

    def loss_of_batch():
        x, m = batch_of(feed.train.parts, torch.randint(len(feed.train), (batch,), device=dev))
        with torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            return loss_of(net, look(hide(x)), m)[0]

    if shipped:
        lay_norms(net, loss_of_batch)

    fastest = 1.2e-3 if start else 3e-3
    mean, step = fit(net, feed, out, minutes, fastest, loss_of_batch, lambda mean: measure(mean, feed.test, 600), decay=1e-3)
    print("end", step, feed.scenes, measure(mean, feed.test, 10 ** 9), flush=True)


@torch.no_grad()
def measure(net, test, most):
    """Mean losses over at most so many photos of `test`."""
    net.eval()
    total, looked = np.zeros(4), min(len(test), most)
    for i in torch.arange(looked, device=test.dev).split(32):
        loss, parts = loss_of(net, test.parts[0][i].permute(0, 3, 1, 2).float() / 255, test.parts[1][i].float() / 255)
        total += np.array([loss.item(), *parts]) * len(i)
    net.train()
    return "held out: loss %.4f region %.4f centres %.4f kind %.4f" % tuple(total / max(1, looked))


if __name__ == "__main__":
    main()
