# SPDX-License-Identifier: Apache-2.0
"""train_lattice.py ARRAYS OUT.pt MINUTES [FROM.pt]: fits LatticeNet to painted photos; every tenth scene is kept for measuring."""
import glob
import os
import sys
import time

import numpy as np
import torch
import torch.nn.functional as F

from nets import LatticeNet


def load(paths, side=640):
    photos, maps = [], []
    for path in paths:
        with np.load(path) as a:
            p, m = a["photo"], a["maps"]
        if p.shape[0] > p.shape[1]:
            p, m = np.rot90(p), np.rot90(m, axes=(1, 2))
        h = side * 3 // 4
        P, M = np.zeros((h, side, 3), np.uint8), np.zeros((4, h // 2, side // 2), np.uint8)
        P[:min(h, p.shape[0]), :min(side, p.shape[1])] = p[:h, :side]
        M[:, :min(h // 2, m.shape[1]), :min(side // 2, m.shape[2])] = m[:, :h // 2, :side // 2]
        photos.append(P)
        maps.append(M)
    return torch.from_numpy(np.stack(photos)), torch.from_numpy(np.stack(maps))


def look(x):
    """Another camera: light, colour, blur, noise. x: (n, 3, h, w) in 0..1."""
    n, dev = len(x), x.device
    u = lambda lo, hi, *s: torch.rand(n, *s, 1, 1, device=dev) * (hi - lo) + lo
    x = x.clamp(0, 1) ** torch.exp(u(-0.5, 0.5, 1))
    dim = torch.where(torch.rand(n, 1, 1, 1, device=dev) < 0.25, u(-1.3, 0, 1), 0.0)
    x = x * torch.exp(u(-0.5, 0.4, 1) + dim) * torch.exp(u(-0.2, 0.2, 3))
    grey = x.mean(1, keepdim=True)
    x = grey + (x - grey) * u(0.3, 1.6, 1)
    swap = torch.rand(n, device=dev) < 0.15
    x = torch.where(swap[:, None, None, None], x[:, torch.randperm(3)], x)
    if torch.rand(1) < 0.4:
        k = int(torch.randint(2, 4, (1,)))
        small = F.interpolate(x, scale_factor=1 / k, mode="area")
        x = F.interpolate(small, size=x.shape[2:], mode="bilinear")
    return (x + torch.randn_like(x) * u(0, 0.05, 1)).clamp(0, 1)


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


def normal(x):
    return (x - 0.45) / 0.25


def loss_of(net, x, m):
    y = net(normal(x))
    region = F.binary_cross_entropy_with_logits(y[:, 0], m[:, 0]) + F.binary_cross_entropy_with_logits(y[:, 1], m[:, 1])
    heat = F.binary_cross_entropy_with_logits(y[:, 2], m[:, 2], weight=1 + 4 * m[:, 2])
    kind = (F.binary_cross_entropy_with_logits(y[:, 3], m[:, 3], reduction="none") * m[:, 0]).sum() / m[:, 0].sum().clamp(min=1)
    return region + 2 * heat + 0.3 * kind, (region.item(), heat.item(), kind.item())


def main():
    source, out, minutes = sys.argv[1], sys.argv[2], float(sys.argv[3])
    torch.manual_seed(1)
    dev = "cuda" if torch.cuda.is_available() else "cpu"
    paths = sorted(glob.glob(source + "/*.npz"))
    photos, maps = load(paths)
    photos, maps = photos.to(dev), maps.to(dev)
    held = torch.arange(len(paths)) % 10 == 0
    train, test = torch.nonzero(~held)[:, 0], torch.nonzero(held)[:, 0]
    net = LatticeNet()
    if len(sys.argv) > 4 and os.path.exists(sys.argv[4]):
        net.load_state_dict(torch.load(sys.argv[4], map_location="cpu"))
    net = net.to(dev).to(memory_format=torch.channels_last)
    best = torch.optim.AdamW(net.parameters(), 3e-3, weight_decay=1e-4)
    start, step, batch = time.time(), 0, 32
    while (spent := (time.time() - start) / 60 / minutes) < 1:
        for group in best.param_groups:
            group["lr"] = 3e-3 * min(1, step / 200) * 0.5 * (1 + np.cos(np.pi * spent)) + 1e-5
        i = train[torch.randint(len(train), (batch,))].to(dev)
        x, m = photos[i].permute(0, 3, 1, 2).float() / 255, maps[i].float() / 255
        k = int(torch.randint(0, 4, (1,)))
        x, m = torch.rot90(x, k, (2, 3)), torch.rot90(m, k, (2, 3))
        if torch.rand(1) < 0.5:
            x, m = x.flip(3), m.flip(3)
        x, m = move(x, m)
        with torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            loss, _ = loss_of(net, look(x), m)
        best.zero_grad()
        loss.backward()
        best.step()
        step += 1
        if step % 500 == 0:
            print(f"step {step} {spent:.2f} loss {loss.item():.4f}", measure(net, photos, maps, test, dev), flush=True)
    print("end", step, measure(net, photos, maps, test, dev))
    torch.save(net.float().cpu().state_dict(), out)


@torch.no_grad()
def measure(net, photos, maps, test, dev):
    net.eval()
    total = np.zeros(4)
    for i in test.split(32):
        x, m = photos[i.to(dev)].permute(0, 3, 1, 2).float() / 255, maps[i.to(dev)].float() / 255
        loss, parts = loss_of(net, x, m)
        total += np.array([loss.item(), *parts]) * len(i)
    net.train()
    return "held out: loss %.4f region %.4f centres %.4f kind %.4f" % tuple(total / max(1, len(test)))


if __name__ == "__main__":
    main()
