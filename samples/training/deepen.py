# SPDX-License-Identifier: Apache-2.0
"""deepen.py IN.pt OUT.pt BLOCKS: a counter with further convolutions, which change little until it is trained on."""
import sys

import torch

from nets import CountNet, counter
from scenes import MOST


def main():
    torch.manual_seed(5)
    small = counter(MOST + 1, torch.load(sys.argv[1], map_location="cpu"))
    deep = CountNet(MOST + 1, blocks=int(sys.argv[3]))
    deep.load_state_dict(small.state_dict(), strict=False)
    for block in deep.body[len(small.body):]:
        torch.nn.init.constant_(block.conv[1].weight, 0.1)  # of the norm; at 0 nothing would be learned
    torch.save(deep.state_dict(), sys.argv[2])


if __name__ == "__main__":
    main()
