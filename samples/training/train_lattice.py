# SPDX-License-Identifier: Apache-2.0
"""train_lattice.py ARRAYS OUT.pt MINUTES [FROM.pt]: fits LatticeNet to painted photos; every tenth scene is kept for measuring."""
import glob
import os
import sys
import time
from multiprocessing.pool import ThreadPool

import numpy as np
import torch
import torch.nn.functional as F

from nets import LatticeNet


def read(path, side=640):
    with np.load(path) as a:
        p, m = a["photo"], a["maps"]
    if p.shape[0] > p.shape[1]:
        p, m = np.rot90(p), np.rot90(m, axes=(1, 2))
    h = side * 3 // 4
    P, M = np.zeros((h, side, 3), np.uint8), np.zeros((4, h // 2, side // 2), np.uint8)
    P[:min(h, p.shape[0]), :min(side, p.shape[1])] = p[:h, :side]
    M[:, :min(h // 2, m.shape[1]), :min(side // 2, m.shape[2])] = m[:, :h // 2, :side // 2]
    return torch.from_numpy(P), torch.from_numpy(M)


def load(paths):
    with ThreadPool(16) as pool:
        photos, maps = zip(*pool.imap(read, paths, 16))
    return torch.stack(photos), torch.stack(maps)


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


def hide(x):
    """Bars across some photos, as machines and benches hide rows of cells: the lattice goes on beneath."""
    n, _, h, w = x.shape
    yy, xx = torch.meshgrid(torch.linspace(-1, 1, h, device=x.device), torch.linspace(-1, 1, w, device=x.device), indexing="ij")
    a = torch.rand(n, 1, 1, device=x.device) * np.pi
    off = xx * a.cos() + yy * a.sin() - (torch.rand(n, 1, 1, device=x.device) * 1.6 - 0.8)
    bar = (off.abs() < torch.rand(n, 1, 1, device=x.device) * 0.06 + 0.01) & (torch.rand(n, 1, 1, device=x.device) < 0.12)
    colour = torch.rand(n, 3, 1, 1, device=x.device) ** 2 * (0.7 + 0.6 * torch.rand(n, 1, h // 8, w // 8, device=x.device).repeat_interleave(8, 2).repeat_interleave(8, 3))
    return torch.where(bar[:, None], colour.clamp(0, 1), x)


def normal(x):
    return (x - 0.45) / 0.25


def loss_of(net, x, m):
    y = net.fine(normal(x)).float()
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
    held = torch.tensor([path[-5] == "0" for path in paths])
    train, test = torch.nonzero(~held)[:, 0], torch.nonzero(held)[:, 0]
    net = LatticeNet()
    if len(sys.argv) > 4 and os.path.exists(sys.argv[4]):
        net.load_state_dict(torch.load(sys.argv[4], map_location="cpu"))
    net = net.to(dev).to(memory_format=torch.channels_last)
    fastest = 1.2e-3 if len(sys.argv) > 4 else 3e-3
    best = torch.optim.AdamW(net.parameters(), fastest, weight_decay=1e-3)
    mean = torch.optim.swa_utils.AveragedModel(net, avg_fn=follow, use_buffers=True)
    start, step, batch = time.time(), 0, 48 if dev == "cuda" else 4
    while (spent := (time.time() - start) / 60 / minutes) < 1:
        for group in best.param_groups:
            group["lr"] = fastest * min(1, step / 200) * 0.5 * (1 + np.cos(np.pi * spent)) + 1e-5
        i = train[torch.randint(len(train), (batch,))].to(dev)
        x, m = photos[i].permute(0, 3, 1, 2).float() / 255, maps[i].float() / 255
        k = int(torch.randint(0, 4, (1,)))
        x, m = torch.rot90(x, k, (2, 3)), torch.rot90(m, k, (2, 3))
        if torch.rand(1) < 0.5:
            x, m = x.flip(3), m.flip(3)
        x, m = move(x, m)
        with torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            loss, _ = loss_of(net, look(hide(x)), m)
        best.zero_grad()
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        best.step()
        mean.update_parameters(net)
        step += 1
        if step % 1000 == 0:
            print(f"step {step} {spent:.2f} loss {loss.item():.4f}", measure(mean.module, photos, maps, test, dev), flush=True)
    print("end", step, measure(mean.module, photos, maps, test, dev))
    torch.save(mean.module.float().cpu().state_dict(), out)


def follow(old, new, _):
    """A mean over the last few hundred steps: steadier than the last one."""
    return torch.lerp(old, new, 0.004) if old.is_floating_point() else new


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
