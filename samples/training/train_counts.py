# SPDX-License-Identifier: Apache-2.0
"""train_counts.py ARRAYS OUT.pt MINUTES [counts|seeds [FROM.pt]]: fits CountNet to painted trays; every tenth scene is for measuring."""
import glob
import os
import sys
import time

import numpy as np
import torch
import torch.nn.functional as F

from nets import CountNet
from scenes import CELL, MOST
from train_lattice import look

TILE = 8  # cells a side


def load(paths, dev, field):
    trays = []
    for n, path in enumerate(paths):
        with np.load(path) as a:
            for t in range(int(a["trays"])):
                counts = np.minimum(a[f"{field}{t}"], MOST)
                if (counts >= 0).any():
                    trays.append((torch.from_numpy(a[f"canvas{t}"]).to(dev), torch.from_numpy(counts.astype(np.int64)).to(dev),
                                  torch.from_numpy(a[f"lean{t}"].astype(np.float32)).to(dev), int(a["habit"]), int(a["sown"]), n % 10 == 0))
    return trays


def tile(tray):
    canvas, counts, lean, habit, sown, _ = tray
    dev = canvas.device
    rows, cols = counts.shape[0], (canvas.shape[1] // (CELL // 2)) // 2 - 1
    r0 = int(np.random.randint(0, max(0, rows - TILE) + 1))
    c0 = int(np.random.randint(0, max(0, cols - TILE) + 1))
    size = CELL * (TILE + 1)
    x = torch.zeros(size, size, 3, dtype=torch.uint8, device=dev)
    part = canvas[CELL * r0:CELL * r0 + size, CELL * c0:CELL * c0 + size]
    x[:part.shape[0], :part.shape[1]] = part
    y = torch.full((TILE, 2 * TILE - 1), -1, dtype=torch.int64, device=dev)
    part = counts[r0:r0 + TILE, 2 * c0:2 * c0 + 2 * TILE - 1]
    y[:part.shape[0], :part.shape[1]] = part
    s = torch.zeros(8, size // 8, size // 8, device=dev)
    part = lean[:, 6 * r0:6 * r0 + size // 8, 6 * c0:6 * c0 + size // 8]
    s[:2, :part.shape[1], :part.shape[2]] = part
    s[2 + (habit if np.random.rand() < 0.7 else 0)] = 1
    if sown and np.random.rand() < 0.7:
        s[6], s[7] = sown / 8, 1
    return x, s, y


def normal(x):
    """Light balance: each channel over its mean over the tray. x: (n, 3, h, w) in 0..1."""
    seen = (x.sum(1, keepdim=True) > 0).float()
    mean = (x * seen).sum((2, 3), keepdim=True) / seen.sum((2, 3), keepdim=True).clamp(min=1)
    return ((x / mean.clamp(min=0.01) - 1).clamp(-1, 3)) * seen


def main():
    source, out, minutes = sys.argv[1], sys.argv[2], float(sys.argv[3])
    field = sys.argv[4] if len(sys.argv) > 4 else "counts"
    torch.manual_seed(2)
    np.random.seed(2)
    dev = "cuda" if torch.cuda.is_available() else "cpu"
    trays = load(sorted(glob.glob(source + "/*.npz")), dev, field)
    train, test = [t for t in trays if not t[5]], [t for t in trays if t[5]]
    print(len(train), "trays to learn from", len(test), "to measure on", flush=True)
    net = CountNet(MOST + 1)
    if len(sys.argv) > 5 and os.path.exists(sys.argv[5]):
        net.load_state_dict(torch.load(sys.argv[5], map_location="cpu"))
    net = net.to(dev).to(memory_format=torch.channels_last)
    best = torch.optim.AdamW(net.parameters(), 3e-3, weight_decay=1e-3)
    mean = torch.optim.swa_utils.AveragedModel(net, avg_fn=follow, use_buffers=True)
    start, step, batch = time.time(), 0, 64
    while (spent := (time.time() - start) / 60 / minutes) < 1:
        for group in best.param_groups:
            group["lr"] = 3e-3 * min(1, step / 200) * 0.5 * (1 + np.cos(np.pi * spent)) + 1e-5
        x, s, y = zip(*[tile(train[np.random.randint(len(train))]) for _ in range(batch)])
        x, s, y = torch.stack(x).permute(0, 3, 1, 2).float() / 255, torch.stack(s), torch.stack(y)
        if np.random.rand() < 0.5:
            x, s, y = x.flip(3), s.flip(3), y.flip(2)
            s[:, 0] *= -1
        if np.random.rand() < 0.5:
            x, s, y = x.flip(2), s.flip(2), y.flip(1)
            s[:, 1] *= -1
        with torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            z = net(normal(look_softly(x)), s).float()
        loss = F.cross_entropy(z, y, ignore_index=-1)
        best.zero_grad()
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        best.step()
        mean.update_parameters(net)
        step += 1
        if step % 600 == 0:
            print(f"step {step} {spent:.2f} loss {loss.item():.4f}", measure(mean.module, test[:200], dev), flush=True)
    print("end", step, measure(mean.module, test, dev))
    torch.save(mean.module.float().cpu().state_dict(), out)


def follow(old, new, _):
    """A mean over the last few hundred steps: steadier than the last one."""
    return torch.lerp(old, new, 0.004) if old.is_floating_point() else new


def look_softly(x):
    """`look` for half of the tiles, without touching the padding."""
    seen = (x.sum(1, keepdim=True) > 0).float()
    pick = (torch.rand(len(x), 1, 1, 1, device=x.device) < 0.6).float()
    return (pick * look(x) + (1 - pick) * x) * seen


@torch.no_grad()
def measure(net, test, dev):
    """Told, whole trays: share of cells with the right state and count, mean loss, mean error of the likeliest chance."""
    net.eval()
    right = exact = cells = 0
    loss = sure = 0.0
    for canvas, counts, lean, habit, sown, _ in test:
        x = normal(canvas.permute(2, 0, 1)[None].float() / 255)
        s = torch.zeros(1, 8, *lean.shape[1:], device=dev)
        s[0, :2], s[0, 2 + habit], s[0, 6], s[0, 7] = lean, 1, sown / 8, 1 if sown else 0
        z = net(x, s)[0]
        y = counts[:, :z.shape[2]]
        z = z[:, y >= 0].T.float()
        y = y[y >= 0]
        p = z.softmax(1)
        top, said = p.max(1)
        right += int((said.clamp(max=2) == y.clamp(max=2)).sum())
        exact += int((said == y).sum())
        loss += float(F.cross_entropy(z, y, reduction="sum"))
        sure += float(top.sum())
        cells += len(y)
    net.train()
    cells = max(1, cells)
    return f"held out: state {right / cells:.4f} exact {exact / cells:.4f} loss {loss / cells:.4f} sure {sure / cells:.4f}"


if __name__ == "__main__":
    main()
