# SPDX-License-Identifier: Apache-2.0
"""train_counts.py ARRAYS OUT.pt MINUTES [counts|seeds [FROM.pt]]: fits CountNet to painted trays; every tenth scene is for measuring."""
import glob
import os
import sys
import time
from multiprocessing.pool import ThreadPool

import numpy as np
import torch
import torch.nn.functional as F

from nets import CountNet
from scenes import CELL, MOST, PARTS
from train_lattice import follow

FASTEST = 2e-3  # learning rate


def load(source, dev):
    """All tiles on the device, in the order of PARTS."""
    def read(part):
        files = [np.load(path, mmap_mode="r") for path in sorted(glob.glob(f"{source}/*.{part}.npy"))]
        whole = torch.empty(sum(map(len, files)), *files[0].shape[1:], dtype=torch.from_numpy(files[0][:0].copy()).dtype, device=dev)
        starts = np.cumsum([0] + [len(file) for file in files])
        with ThreadPool(16) as pool:
            pool.starmap(lambda at, file: whole[at:at + len(file)].copy_(torch.from_numpy(np.array(file))), zip(starts, files), 16)
        return whole
    return [read(part) for part in PARTS]


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
    return (x[:, :, CELL:-1:CELL, CELL:-1:CELL // 2].sum(1, keepdim=True) > 0).float()[:, :, :, :15]


def batch_of(tiles, i, field):
    pictures, _, _, lean, stems, facts = tiles
    y = tiles[1 + field][i].long().clamp(max=MOST)
    x, s = pictures[i].permute(0, 3, 1, 2).float() / 255, lean[i].float()
    heat = stems[i].float().clamp(max=1)
    if torch.rand(1) < 0.5:
        x, s, y, heat = x.flip(3), s.flip(3) * torch.tensor([-1.0, 1], device=x.device)[:, None, None], y.flip(2), heat.flip(2)
    if torch.rand(1) < 0.5:
        x, s, y, heat = x.flip(2), s.flip(2) * torch.tensor([1.0, -1], device=x.device)[:, None, None], y.flip(1), heat.flip(1)
    told = (torch.rand(len(i), 2, device=x.device) < 0.7).long()
    return x, sides_of(s, facts[i].long(), told), y, heat


def main():
    source, out, minutes = sys.argv[1], sys.argv[2], float(sys.argv[3])
    field = 1 if len(sys.argv) > 4 and sys.argv[4] == "seeds" else 0
    torch.manual_seed(2)
    dev = "cuda" if torch.cuda.is_available() else "cpu"
    start = time.time()
    tiles = load(source, dev)
    facts = tiles[5]
    held = facts[:, 3] == 1
    # A photo's pieces resemble each other; for seeds, photos with seeds in view matter most.
    weight = (~held).float() / facts[:, 4].float().sqrt() * (torch.where(facts[:, 2] == 1, 8.0, 1.0) if field else 1)
    test = torch.nonzero(held)[:, 0]
    print(len(facts), "tiles", len(test), "to measure on", f"loaded in {time.time() - start:.0f} s", flush=True)
    net = CountNet(MOST + 1)
    if len(sys.argv) > 5 and os.path.exists(sys.argv[5]):
        net.load_state_dict(torch.load(sys.argv[5], map_location="cpu"))
    net = net.to(dev).to(memory_format=torch.channels_last)
    best = torch.optim.AdamW(net.parameters(), FASTEST, weight_decay=1e-2)
    mean = torch.optim.swa_utils.AveragedModel(net, avg_fn=follow, use_buffers=True)
    start, step, batch = time.time(), 0, 128 if dev == "cuda" else 8
    while (spent := (time.time() - start) / 60 / minutes) < 1:
        for group in best.param_groups:
            group["lr"] = FASTEST * min(1, step / 300) * 0.5 * (1 + np.cos(np.pi * spent)) + 1e-5
        x, s, y, heat = batch_of(tiles, torch.multinomial(weight, batch), field)
        cells = cells_seen(x)
        with torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            f = net.features(normal(look(x)).to(memory_format=torch.channels_last), s)
            z, stems = net.counts(f, cells).float(), net.stems(f)[:, 0].float()
        loss = F.cross_entropy(z, y, ignore_index=-1)
        if not field:  # where stems stand is known too, and teaches faster than counts alone
            loss = loss + F.binary_cross_entropy_with_logits(stems, heat, weight=1 + 4 * heat)
        best.zero_grad()
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        best.step()
        mean.update_parameters(net)
        step += 1
        if step % 1000 == 0:
            print(f"step {step} {spent:.2f} loss {loss.item():.4f}", measure(mean.module, tiles, test[::5], field, True), flush=True)
    for told in (True, False):
        print("end", step, "told" if told else "blind", measure(mean.module, tiles, test, field, told), flush=True)
    torch.save(mean.module.float().cpu().state_dict(), out)


@torch.no_grad()
def measure(net, tiles, test, field, told):
    """Share of cells with the right state and count, mean loss, mean chance of the likeliest; the same by habit."""
    net.eval()
    said, true, habit, loss, sure = [], [], [], [], []
    for i in test.split(256):
        pictures, _, _, lean, _, facts = tiles
        x, y = pictures[i].permute(0, 3, 1, 2).float() / 255, tiles[1 + field][i].long().clamp(max=MOST)
        s = sides_of(lean[i].float(), facts[i].long(), torch.full((len(i), 2), int(told), device=x.device))
        z = net.counts(net.features(normal(x), s), cells_seen(x)).float().permute(0, 2, 3, 1)
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
