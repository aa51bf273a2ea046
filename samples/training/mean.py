# SPDX-License-Identifier: Apache-2.0
"""mean.py OUT.pt IN.pt...: the mean of the weights of fits that began at the same weights: calmer than each of them.

After Wortsman et al. (2022), "Model soups"."""
import sys

import torch


def main():
    fits = [torch.load(path, map_location="cpu") for path in sys.argv[2:]]
    torch.save({name: sum(fit[name] for fit in fits) / len(fits) if part.is_floating_point() else part
                for name, part in fits[0].items()}, sys.argv[1])


if __name__ == "__main__":
    main()
