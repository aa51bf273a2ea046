# SPDX-License-Identifier: Apache-2.0
"""export_closer.py counts|seeds IN.pt OUT.safetensors ARRAYS [KEY=VALUE …]: a Closer's weights as the program reads them.

Batch norms are folded in; the first look is `nets.0`, the second `near`. Each layer's NAME.reach and NAME.usual are measured on tiles in
ARRAYS, see reach.py. The pairs are kept in the file as its provenance."""
import sys

import torch
import torch.nn.functional as F

from closer import closer
from export import fused, write_safetensors
from reach import SHARE, tiles
from train_counts import cells_seen, normal


def name_of(module):
    """The name that a layer has in the program: of those that tell, that of the layer told."""
    look, _, name = module.partition(".")
    if not name:
        return "nets.0." + look
    if name.endswith(".tell"):
        return "nets.0.tell." + name[:-len("tell")] + "conv.0"
    return ("nets.0." if look == "far" else "near.") + name


@torch.no_grad()
def in_bytes(net, layers, batches):
    """NAME.reach and NAME.usual of the layers that the program runs in whole numbers of 8 bits."""
    most, mean = {}, {}

    def watch(name):
        def see(_, inputs):
            most.setdefault(name, []).append(inputs[0].abs().amax((1, 2, 3)))
            mean.setdefault(name, []).append(inputs[0].mean((2, 3)))
        return see

    for name, layer in layers.items():
        if layer.kernel_size == (3, 3) or name.endswith(".wide.0"):
            layer.register_forward_pre_hook(watch(name))
    for x, sides in batches:
        net(normal(x), sides, cells_seen(x))
    return {**{name + ".reach": torch.cat(seen).quantile(SHARE).reshape(1) for name, seen in most.items()},
            **{name + ".usual": torch.cat(seen).mean(0) for name, seen in mean.items()}}


def main():
    kind, source, out, arrays = sys.argv[1:5]
    net = fused(closer(kind, torch.load(source, map_location="cpu")).eval())
    layers = {name_of(name): layer for name, layer in net.named_modules() if isinstance(layer, torch.nn.Conv2d) and name != "near.marks"}
    tensors = {}
    for name, layer in layers.items():
        # The gathering layers begin one place earlier, by zeros, where training cuts the margin off.
        tensors[name + ".weight"] = F.pad(layer.weight, (1, 0, 1, 0)) if name.endswith("gather.0") else layer.weight
        tensors[name + ".bias"] = layer.bias
    tensors |= in_bytes(net, layers, tiles(arrays, kind == "seeds"))
    write_safetensors(out, tensors, dict(pair.split("=", 1) for pair in sys.argv[5:]), 16)


if __name__ == "__main__":
    main()
