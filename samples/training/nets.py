# SPDX-License-Identifier: Apache-2.0
"""The two small networks. Plain convolutions, so that any runtime reads them."""
import torch
import torch.nn as nn


def conv(i, o, k=3, s=1, groups=1, dilation=1):
    return nn.Sequential(nn.Conv2d(i, o, k, s, dilation * (k // 2), groups=groups, dilation=dilation, bias=False),
                         nn.BatchNorm2d(o), nn.ReLU(inplace=True))


class Block(nn.Module):
    """Depthwise then pointwise, with a short cut where the shapes agree."""

    def __init__(self, i, o, s=1, dilation=1, k=3):
        super().__init__()
        self.depth = conv(i, i, k, s, groups=i, dilation=dilation)
        self.point = conv(i, o, 1)
        self.skip = s == 1 and i == o

    def forward(self, x):
        y = self.point(self.depth(x))
        return x + y if self.skip else y


def up(x):
    return nn.functional.interpolate(x, scale_factor=2, mode="nearest")


class LatticeNet(nn.Module):
    """Photo (n, 3, h, w), h and w multiples of 32 -> logits (n, 4, h/2, w/2): region, tray, centres, staggered."""

    def __init__(self):
        super().__init__()
        self.stem = conv(3, 16, 3, 2)
        self.d1 = nn.Sequential(Block(16, 32, 2), Block(32, 32))
        self.d2 = nn.Sequential(Block(32, 48, 2), Block(48, 48), Block(48, 48))
        self.d3 = nn.Sequential(Block(48, 80, 2), Block(80, 80), Block(80, 80), Block(80, 80))
        self.d4 = nn.Sequential(Block(80, 128, 2), Block(128, 128, dilation=2), Block(128, 128, dilation=4),
                                Block(128, 128, dilation=2), Block(128, 128))
        self.u3 = nn.Sequential(Block(128 + 80, 80), Block(80, 80))
        self.u2 = nn.Sequential(Block(80 + 48, 48), Block(48, 48))
        self.u1 = nn.Sequential(Block(48 + 32, 32), Block(32, 32))
        self.u0 = nn.Sequential(conv(32 + 16, 16, 1), Block(16, 16))
        self.out = nn.Conv2d(16, 4, 1)

    def forward(self, x):
        a = self.stem(x)
        b = self.d1(a)
        c = self.d2(b)
        d = self.d3(c)
        e = self.d4(d)
        d = self.u3(torch.cat([up(e), d], 1))
        c = self.u2(torch.cat([up(d), c], 1))
        b = self.u1(torch.cat([up(c), b], 1))
        return self.out(self.u0(torch.cat([up(b), a], 1)))


class CountNet(nn.Module):
    """Tray laid flat (n, 3, 48 a, 48 b) and its sides (n, 8, 6 a, 6 b) -> logits (n, classes, a - 1, 2 b - 3).

    Entry [row, 2 u] is the cell whose centre stands at 48 (u + 1), 48 (row + 1) px."""

    def __init__(self, classes, sides=8):
        super().__init__()
        self.stem = nn.Sequential(conv(3, 16, 3, 2), Block(16, 32, 2), Block(32, 32), Block(32, 32))
        self.body = nn.Sequential(Block(32, 64, 2), Block(64, 64), Block(64, 64))
        self.mix = nn.Sequential(conv(64 + sides, 96, 1), Block(96, 96), Block(96, 96, dilation=2), Block(96, 96))
        self.gather = nn.Sequential(nn.Conv2d(96, 96, (10, 10), (6, 3), (0, 0), groups=96, bias=False), nn.BatchNorm2d(96),
                                    nn.ReLU(inplace=True))
        self.head = nn.Sequential(conv(96, 128, 1), nn.Conv2d(128, classes, 1))

    def features(self, x, sides):
        return self.mix(torch.cat([self.body(self.stem(x)), sides], 1))

    def forward(self, x, sides):
        f = self.features(x, sides)
        f = f[:, :, 1:-1, 1:-1]
        return self.head(self.gather(f))
