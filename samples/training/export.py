# SPDX-License-Identifier: Apache-2.0
"""export.py lattice|counts|seeds IN.pt[,IN.pt…] OUT.onnx [KEY=VALUE …]: the trained network as an ONNX file with free picture size.

Several counters, which must have been fitted apart, become a committee. The pairs are kept in the file as its provenance."""
import sys

import onnx
import torch

from nets import Committee, LatticeNet, counter
from scenes import CELL, MOST, SEEDLING_CELL


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


def main():
    kind, source, out = sys.argv[1:4]
    fits, facts = [torch.load(path, map_location="cpu") for path in source.split(",")], dict(pair.split("=", 1) for pair in sys.argv[4:])
    if kind == "lattice":
        net = LatticeNet()
        net.load_state_dict(fits[0])
        net = fused(net.eval())
    else:
        counters = [fused(counter(kind, MOST + 1, weights).eval()) for weights in fits]
        for each in counters:
            del each.stems
        net = counters[0] if len(counters) == 1 else Committee(counters)
    if kind == "lattice":
        torch.onnx.export(net, torch.zeros(1, 3, 480, 640), out, opset_version=11, input_names=["photo"],
                          output_names=["maps"], dynamic_axes={"photo": {2: "h", 3: "w"}})
    else:
        side = 9 * (CELL if kind == "seeds" else SEEDLING_CELL)
        torch.onnx.export(net, (torch.zeros(1, 3, side, side), torch.zeros(1, 8, 54, 54)), out, opset_version=11,
                          input_names=["tray", "sides"], output_names=["counts"],
                          dynamic_axes={"tray": {2: "h", 3: "w"}, "sides": {2: "h8", 3: "w8"}})
    model = onnx.load(out)
    onnx.helper.set_model_props(model, facts)
    onnx.save(model, out)


if __name__ == "__main__":
    main()
