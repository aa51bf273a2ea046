# SPDX-License-Identifier: Apache-2.0
"""reach.py MODEL.safetensors ARRAYS counts|seeds: adds to a counter what the program must know to add up whole numbers of 8 bits.

NAME.reach: how far a layer's inputs reach, beyond which all counts for the same: of each tile in ARRAYS (prepare.py) the largest; of
these the 95th of 100, since a glint or two needn't be told from each other. NAME.usual: the mean of each input channel, by which the
program takes back what rounding the weights adds on average (bias correction after Nagel et al. 2019, "Data-free quantization
through weight equalization and bias correction")."""
import glob
import json
import sys

import numpy as np
import torch
import torch.nn.functional as F

from export import write_safetensors
from nets import PLACES
from scenes import PARTS, TILE, at_size_for
from train_counts import normal, sides_of

SHARE = 0.95
MOST_TILES = 12  # of one scene


def read_safetensors(path):
    """(tensors as float32, facts)"""
    with open(path, "rb") as file:
        length = int.from_bytes(file.read(8), "little")
        header, data = json.loads(file.read(length)), file.read()
    facts = header.pop("__metadata__", {})
    return {name: torch.from_numpy(np.frombuffer(data[slice(*entry["data_offsets"])], "<f" + str(int(entry["dtype"][1:]) // 8))
                                   .astype(np.float32).reshape(entry["shape"])) for name, entry in header.items()}, facts


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


def main():
    path, folder, kind = sys.argv[1:4]
    tensors, facts = read_safetensors(path)
    for member in sorted({name.split(".")[1] for name in tensors}):
        prefix, seen = f"nets.{member}.", {}
        net = {name[len(prefix):]: value for name, value in tensors.items() if name.startswith(prefix)}
        for x, sides in tiles(folder, kind):
            for name, maps in inputs(net, x, sides):
                note(seen, prefix + name, maps)
        tensors |= in_bytes(seen)
    write_safetensors(path, tensors, facts, 16)


if __name__ == "__main__":
    main()
