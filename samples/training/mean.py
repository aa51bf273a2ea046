# SPDX-License-Identifier: Apache-2.0
"""mean.py OUT IN[=SHARE]...: the mean of the weights of fits that began at the same weights, alike or by these shares (1 in all): calmer
than each of them. Either fits (.pt) or, of networks that go on from shipped ones, exported files (.safetensors; reach.py comes after).

After Wortsman et al. (2022), "Model soups"; of those before and after a fit, Wortsman et al. (2022), "Robust fine-tuning of zero-shot
models"."""
import sys

import torch

from export import read_safetensors, write_safetensors


def weights_in(path):
    if not path.endswith(".safetensors"):
        return torch.load(path, map_location="cpu")
    return {name: part for name, part in read_safetensors(path)[0].items() if not name.endswith((".reach", ".usual"))}


def main():
    paths, shares = zip(*((path, float(share or 1 / len(sys.argv[2:]))) for path, _, share in (arg.partition("=") for arg in sys.argv[2:])))
    fits = [weights_in(path) for path in paths]
    mean = {name: sum(share * fit[name] for share, fit in zip(shares, fits)) if part.is_floating_point() else part
            for name, part in fits[0].items()}
    if sys.argv[1].endswith(".safetensors"):
        write_safetensors(sys.argv[1], mean, read_safetensors(paths[-1])[1], 16)
    else:
        torch.save(mean, sys.argv[1])


if __name__ == "__main__":
    main()
