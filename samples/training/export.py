# SPDX-License-Identifier: Apache-2.0
"""export.py lattice|lattice_closer|ends|seams|counts|seeds IN.pt[,IN.pt…] OUT.safetensors [KEY=VALUE …]: the trained network's weights as the
program reads them, batch norms folded in.

Several counters, which must have been fitted apart, become a committee. The pairs are kept in the file as its provenance."""
import json
import sys

import numpy as np
import torch
import torch.nn.functional as F

from nets import LATTICE_NETS, LINE_NETS, counter
from scenes import MOST


def fused(net):
    """Batch norms folded into their convolutions."""
    for name, child in net.named_children():
        setattr(net, name, fused(child))
    if isinstance(net, torch.nn.Sequential):
        parts = list(net)
        for i in range(len(parts) - 1):
            if isinstance(parts[i], torch.nn.Conv2d) and isinstance(parts[i + 1], torch.nn.BatchNorm2d):
                parts[i] = torch.nn.utils.fusion.fuse_conv_bn_eval(parts[i], parts[i + 1])
                parts[i + 1] = torch.nn.Identity()
        return torch.nn.Sequential(*[p for p in parts if not isinstance(p, torch.nn.Identity)])
    return net


def with_margin(weight):
    """A gathering layer's weights; it begins one place earlier, by zeros, where training cuts the margin off."""
    return F.pad(weight, (1, 0, 1, 0))


def counter_weights(kind, fit):
    """A counter's weights, batch norms folded in (teach.py has none)."""
    weights = fused(counter(kind, MOST + 1, fit).eval()).state_dict() if any("running_mean" in name for name in fit) else dict(fit)
    weights["gather.0.weight"] = with_margin(weights["gather.0.weight"])
    return {name: value for name, value in weights.items() if not name.startswith("stems.")}


def write_safetensors(path, tensors, facts, bits):
    """Hugging Face's safetensors: length of the header, header in JSON, tensors in little-endian floats of so many bits."""
    header, at = {"__metadata__": facts}, 0
    for name, value in tensors.items():
        size = bits // 8 * value.numel()
        header[name] = {"dtype": f"F{bits}", "shape": list(value.shape), "data_offsets": [at, at + size]}
        at += size
    text = json.dumps(header).encode()
    text += b" " * (-len(text) % 8)
    with open(path, "wb") as file:
        file.write(len(text).to_bytes(8, "little") + text)
        for value in tensors.values():
            file.write(value.detach().numpy().astype(f"<f{bits // 8}").tobytes())


def read_safetensors(path):
    """(tensors as float32, facts)"""
    with open(path, "rb") as file:
        length = int.from_bytes(file.read(8), "little")
        header, data = json.loads(file.read(length)), file.read()
    facts = header.pop("__metadata__", {})
    return {name: torch.from_numpy(np.frombuffer(data[slice(*entry["data_offsets"])], "<f" + str(int(entry["dtype"][1:]) // 8))
                                   .astype(np.float32).reshape(entry["shape"])) for name, entry in header.items()}, facts


def main():
    kind, source, out = sys.argv[1:4]
    fits, facts = [torch.load(path, map_location="cpu") for path in source.split(",")], dict(pair.split("=", 1) for pair in sys.argv[4:])
    if kind in {**LATTICE_NETS, **LINE_NETS}:
        net = {**LATTICE_NETS, **LINE_NETS}[kind]()
        net.load_state_dict(fits[0])
        tensors = fused(net.eval()).state_dict()
    else:
        tensors = {f"nets.{i}.{name}": value for i, fit in enumerate(fits) for name, value in counter_weights(kind, fit).items()}
    # Halves round the quick lattice's maps enough to tip photos that stand on the edge; the others' answers stay as they are.
    write_safetensors(out, tensors, facts, 32 if kind == "lattice" else 16)


if __name__ == "__main__":
    main()
