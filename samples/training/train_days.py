# SPDX-License-Identifier: Apache-2.0
"""train_days.py ARRAYS OUT.pt MINUTES FROM.pt: fits DaysNet to trays painted on several days (prepare_days.py), from a counter's weights.

Scenes that come into ARRAYS while it trains are taken in. OUT.pt is written every minute."""
import sys
import time

import numpy as np
import torch
import torch.nn.functional as F

from nets import DaysNet, depth_of
from prepare_days import DAYS, PARTS
from scenes import MOST
from tiles import Feed, follow, save
from train_counts import across, cells_seen, look, move, normal, sides_of

FASTEST = 1e-3  # learning rate
ROOM = 9000 if torch.cuda.is_available() else 40  # pieces, 5 MB each
ENOUGH = 60  # trays to begin with
LATER = 0.75  # share of draws in which the other photo is the later one


def read(name):
    arrays = [np.load(f"{name}.{part}.npy") for part in PARTS]
    return arrays, arrays[-1][0][2] == 1, 1 / arrays[-1][0][3] ** 0.5


def two_days(n, dev):
    """For each of n pieces the day to be counted and another."""
    one, other = torch.randint(DAYS, (n,), device=dev), torch.randint(DAYS - 1, (n,), device=dev)
    other = other + (other >= one).long()
    early, late = torch.minimum(one, other), torch.maximum(one, other)
    forward = torch.rand(n, device=dev) < LATER
    return torch.where(forward, early, late), torch.where(forward, late, early)


def shown(store, i, day):
    """Pieces i of that day: picture, lean, counts, stems."""
    pictures, counts, lean, stems, _ = (part[i] for part in store.parts)
    n = torch.arange(len(i), device=i.device)
    return (pictures[n, day].permute(0, 3, 1, 2).float() / 255, lean[n, day].float(), counts[n, day].long().clamp(max=MOST),
            stems[n, day].float().clamp(max=1))


def other_sides(lean, later):
    return torch.cat([lean, later.float().mul(2).sub(1).view(-1, 1, 1, 1).expand(-1, 1, *lean.shape[2:])], 1)


def flipped(x, lean, axis):
    sign = torch.tensor([-1.0, 1] if axis == 3 else [1.0, -1], device=x.device)[:, None, None]
    return x.flip(axis), lean.flip(axis) * sign


def batch_of(store, i):
    day, other = two_days(len(i), i.device)
    (x, lean, y, heat), (x2, lean2, y2, heat2) = shown(store, i, day), shown(store, i, other)
    for axis in (3, 2):
        if torch.rand(1) < 0.5:
            (x, lean), (x2, lean2) = flipped(x, lean, axis), flipped(x2, lean2, axis)
            y, heat = y.flip(axis - 1), heat.flip(axis - 1)
    facts = store.parts[-1][i].long()
    s = sides_of(lean, facts, (torch.rand(len(i), 2, device=i.device) < 0.7).long())
    s2 = other_sides(lean2, other > day)
    if torch.rand(1) < 0.5:
        x2, s2 = across(x2, s2, y, heat)[:2]
        x, s, y, heat = across(x, s, y, heat)
    return x, s, x2, s2, y, heat


def main():
    source, out, minutes, start_from = sys.argv[1], sys.argv[2], float(sys.argv[3]), sys.argv[4]
    seed = int(sys.argv[5]) if len(sys.argv) > 5 else 2
    torch.manual_seed(seed)
    dev = "cuda" if torch.cuda.is_available() else "cpu"
    feed = Feed(source, dev, ROOM, ROOM // 12, ".facts.npy", read)
    feed.wait_for(ENOUGH)
    feed.follow()
    weights = torch.load(start_from, map_location="cpu")
    net = DaysNet(MOST + 1, blocks=depth_of(weights))
    known = net.load_state_dict(weights, strict=False)
    print("new layers:", sorted({name.split(".")[0] for name in known.missing_keys}), flush=True)
    net = net.to(dev).to(memory_format=torch.channels_last)
    best = torch.optim.AdamW(net.parameters(), FASTEST, weight_decay=1e-2)
    mean = torch.optim.swa_utils.AveragedModel(net, avg_fn=follow, use_buffers=True)
    start, step, batch, saved = time.time(), 0, 96 if dev == "cuda" else 4, 0
    while (spent := (time.time() - start) / 60 / minutes) < 1:
        for group in best.param_groups:
            group["lr"] = FASTEST * min(1, step / 300) * 0.5 * (1 + np.cos(np.pi * spent)) + 1e-5
        x, s, x2, s2, y, heat = batch_of(feed.train, torch.multinomial(feed.train.weight, batch))
        x, x2 = move(x), move(x2)
        cells = cells_seen(x)
        with torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            tidy = lambda a: normal(look(a)).to(memory_format=torch.channels_last)
            f = net.features(tidy(x), s, tidy(x2), s2)
            z, marks = net.counts(f, cells).float(), net.stems(f)[:, 0].float()
        loss = F.cross_entropy(z, y, ignore_index=-1) + F.binary_cross_entropy_with_logits(marks, heat, weight=1 + 4 * heat)
        best.zero_grad()
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        best.step()
        mean.update_parameters(net)
        step += 1
        if step % 500 == 0:
            print(f"step {step} {spent:.2f} of {feed.scenes} scenes, loss {loss.item():.4f}", measure(mean.module, feed.test, 240), flush=True)
        if time.time() - start > saved:
            saved += 60
            save(mean.module, out)
    feed.stop()
    print("end", step, feed.scenes, measure(mean.module, feed.test, 10 ** 9), flush=True)
    save(mean.module, out)


@torch.no_grad()
def chances(net, store, i, day, other):
    (x, lean, y, _), (x2, lean2, _, _) = shown(store, i, day), shown(store, i, other)
    s = sides_of(lean, store.parts[-1][i].long(), torch.ones(len(i), 2, dtype=torch.long, device=i.device))
    f = net.features(normal(x), s, normal(x2), other_sides(lean2, torch.full((len(i),), other > day, device=i.device)))
    return net.counts(f, cells_seen(x)).float().permute(0, 2, 3, 1), y


@torch.no_grad()
def measure(net, store, most):
    """Each day but the last beside the last, told: shares of cells rightly occupied or not, exact counts, loss; and how many cells
    are first occupied on the right day (of all days, the last beside the one before)."""
    if not len(store):
        return "held out: none"
    net.eval()
    right, exact, loss, first = [], [], [], []
    for i in torch.arange(min(len(store), most), device=store.dev).split(64):
        found, true = [], []
        for day in range(DAYS):
            z, y = chances(net, store, i, day, DAYS - 1 if day < DAYS - 1 else DAYS - 2)
            kept = y >= 0
            up = z.softmax(-1)[..., 0] < 0.5
            found.append(up & kept), true.append((y > 0) & kept)
            if day < DAYS - 1:
                right.append((up == (y > 0))[kept].float())
                exact.append((z.argmax(-1) == y)[kept].float())
                loss.append(F.cross_entropy(z[kept], y[kept], reduction="none"))
        when = lambda days: torch.stack([*days, torch.ones_like(days[0])]).long().argmax(0)
        first.append((when(found) == when(true))[kept].float())
    net.train()
    right, exact, loss, first = [torch.cat(part).mean().item() for part in (right, exact, loss, first)]
    return f"held out: occupied {right:.4f} exact {exact:.4f} loss {loss:.4f} first day {first:.4f}"


if __name__ == "__main__":
    main()
