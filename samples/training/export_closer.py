# SPDX-License-Identifier: Apache-2.0
"""export_closer.py counts|seeds|seeds_large_tray IN.pt OUT.safetensors ARRAYS [KEY=VALUE …]: a Closer's weights as the program reads them.

Batch norms are folded in; the first look is `nets.0`, the second `near`. Each layer's NAME.reach and NAME.usual are measured on tiles in
ARRAYS, see reach.py. The pairs are kept in the file as its provenance."""
import sys

import torch

from closer import closer
from export import fused, with_margin, write_safetensors
from reach import in_bytes, note, tiles
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
def inputs_of(net, layers, batches):
    """What is noted of the inputs of those layers that the program runs in whole numbers of 8 bits."""
    seen = {}
    for name, layer in layers.items():  # not those that look at the picture: the program knows what that holds
        if layer.kernel_size == (3, 3) and layer.in_channels > 3 or name.endswith(".wide.0"):
            layer.register_forward_pre_hook(lambda _, inputs, name=name: note(seen, name, inputs[0]))
    for x, sides in batches:
        net(normal(x), sides, cells_seen(x))
    return seen


def main():
    kind, source, out, arrays = sys.argv[1:5]
    net = fused(closer(kind, torch.load(source, map_location="cpu")).eval())
    layers = {name_of(name): layer for name, layer in net.named_modules() if isinstance(layer, torch.nn.Conv2d) and name != "near.marks"}
    tensors = {}
    for name, layer in layers.items():
        tensors[name + ".weight"] = with_margin(layer.weight) if name.endswith("gather.0") else layer.weight
        tensors[name + ".bias"] = layer.bias
    tensors |= in_bytes(inputs_of(net, layers, tiles(arrays, kind)))
    write_safetensors(out, tensors, dict(pair.split("=", 1) for pair in sys.argv[5:]), 16)


if __name__ == "__main__":
    main()
