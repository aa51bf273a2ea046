# SPDX-License-Identifier: Apache-2.0
"""reach.py MODEL.safetensors ARRAYS counts|seeds|ends|seams: adds to a network what the program must know to add up whole numbers of 8 bits.

NAME.reach: how far a layer's inputs reach, beyond which all counts for the same: of each tile (strip, piece) in ARRAYS (prepare.py) the largest; of
these the 95th of 100, since a glint or two needn't be told from each other. NAME.usual: the mean of each input channel, by which the
program takes back what rounding the weights adds on average (bias correction after Nagel et al. 2019, "Data-free quantization
through weight equalization and bias correction")."""
import glob
import sys

import numpy as np
import torch
import torch.nn.functional as F

from export import fused, read_safetensors, write_safetensors
from nets import LINE_NETS, PLACES
from scenes import PARTS, TILE, at_size_for
from train_counts import normal, sides_of
from train_ends import input_of
from train_seams import inside_of

SHARE = 0.95
MOST_TILES = 12  # of one scene


def tiles(folder, kind):
    """Pictures (n, 3, h, w) in 0..1 and sides (n, 8, h, w) of each scene; for seeds of those with seeds in view."""
    field = kind != "counts"
    for path in sorted(glob.glob(f"{folder}/*.facts.npy")):
        part = {name: np.load(path.replace(".facts.", f".{name}."))[:MOST_TILES] for name in PARTS}
        if field and not part["facts"][0, 2]:
            continue
        pictures, facts = at_size_for(kind, part["pictures"]), torch.from_numpy(part["facts"]).long()
        lean = F.adaptive_avg_pool2d(torch.from_numpy(part["lean"]).float(), PLACES[kind] * (TILE + 1))
        yield (torch.from_numpy(pictures).permute(0, 3, 1, 2).float() / 255,
               sides_of(lean, facts, torch.ones(len(facts), 2, dtype=torch.long)))


@torch.no_grad()
def inputs(net, x, sides):
    """Each layer's name and its input, as vision/net/count_network.cpp runs them."""
    def conv(name, maps, stride=1):
        weight = net[name + ".weight"]
        return F.relu(F.conv2d(maps, weight, net[name + ".bias"], stride, weight.shape[-1] // 2))

    maps = conv("down.0.0", normal(x), x.shape[-1] // sides.shape[-1] // 4)
    for name in ("down.1.0", "down.2.0"):
        yield name, maps
        maps = conv(name, maps, 2)
    maps = maps + F.conv2d(sides, net["told.weight"], net["told.bias"])
    for name in sorted(name[:-len(".weight")] for name in net if name.startswith("body.") and name.endswith(".weight")):
        yield name, maps
        maps = maps + conv(name, maps)
    yield "wide.0", maps


def note(seen, name, maps):
    """Keeps in `seen` what `in_bytes` needs of a layer's input."""
    seen.setdefault(name, []).append((maps.abs().amax((1, 2, 3)), maps.mean((2, 3))))


def in_bytes(seen):
    """NAME.reach and NAME.usual of all layers noted."""
    parts = {name: [torch.cat(part) for part in zip(*noted)] for name, noted in seen.items()}
    return {**{name + ".reach": most.quantile(SHARE).reshape(1) for name, (most, _) in parts.items()},
            **{name + ".usual": mean.mean(0) for name, (_, mean) in parts.items()}}


def shown_to(kind, folder):
    """What a network that looks along lines is shown, of each scene."""
    for path in sorted(glob.glob(f"{folder}/*.{kind}")):
        with np.load(path) as arrays:
            if kind == "ends":
                yield (input_of(torch.from_numpy(arrays["strips"])),)
            else:
                yield input_of(torch.from_numpy(arrays["pictures"])), inside_of(torch.from_numpy(arrays["spans"]))


@torch.no_grad()
def of_lines(tensors, kind, folder):
    """`in_bytes` of those layers that look at more than a line of places."""
    net, seen = fused(LINE_NETS[kind]().eval()), {}
    net.load_state_dict(tensors)
    for name, layer in net.named_modules():
        if name.startswith(("down.", "gather.")) and isinstance(layer, torch.nn.Conv2d) or name.endswith(("upright.0.0", "level.0.0")):
            layer.register_forward_pre_hook(lambda _, inputs, name=name: note(seen, name, inputs[0]))
    for shown in shown_to(kind, folder):
        net(*shown)
    return in_bytes(seen)


@torch.no_grad()
def of_counters(tensors, kind, folder):
    found = {}
    for member in sorted({name.split(".")[1] for name in tensors}):
        prefix, seen = f"nets.{member}.", {}
        net = {name[len(prefix):]: value for name, value in tensors.items() if name.startswith(prefix)}
        for x, sides in tiles(folder, kind):
            for name, maps in inputs(net, x, sides):
                note(seen, prefix + name, maps)
        found |= in_bytes(seen)
    return found


def main():
    path, folder, kind = sys.argv[1:4]
    tensors, facts = read_safetensors(path)
    tensors = {name: value for name, value in tensors.items() if not name.endswith((".reach", ".usual"))}
    tensors |= (of_lines if kind in LINE_NETS else of_counters)(tensors, kind, folder)
    write_safetensors(path, tensors, facts, 16)


if __name__ == "__main__":
    main()
