# SPDX-License-Identifier: Apache-2.0
"""The small networks. Plain convolutions, so that any runtime reads them."""
import torch
import torch.nn as nn


def conv(i, o, k=3, s=1, groups=1, dilation=1):
    margin = tuple(dilation * (side // 2) for side in (k if isinstance(k, tuple) else (k, k)))
    return nn.Sequential(nn.Conv2d(i, o, k, s, margin, groups=groups, dilation=dilation, bias=False),
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
    """Photo (n, 3, h, w), h and w multiples of 32 -> logits (n, 16, h/4, w/4): region, core, centres, staggered.

    Each of the four maps comes as four channels, the pixels of 2 x 2 of a map twice as fine (see `fine`)."""

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
        self.u1 = nn.Sequential(Block(48 + 32, 32), conv(32, 32))
        self.out = nn.Conv2d(32, 16, 1)

    def forward(self, x):
        b = self.d1(self.stem(x))
        c = self.d2(b)
        d = self.d3(c)
        e = self.d4(d)
        d = self.u3(torch.cat([up(e), d], 1))
        c = self.u2(torch.cat([up(d), c], 1))
        return self.out(self.u1(torch.cat([up(c), b], 1)))

    def fine(self, x):
        """The maps (n, 4, h/2, w/2)."""
        return nn.functional.pixel_shuffle(self(x), 2)


class Deep(nn.Module):
    """A whole convolution, then one across channels, beside a short cut; at first it adds nothing."""

    def __init__(self, n):
        super().__init__()
        self.wide, self.across = conv(n, n), nn.Conv2d(n, n, 1)
        nn.init.zeros_(self.across.weight)
        nn.init.zeros_(self.across.bias)

    def forward(self, x):
        return x + self.across(self.wide(x))


class CloserLatticeNet(LatticeNet):
    """The same with whole convolutions after each stage, six times as many weights: for photos that the quick one leaves unclear."""

    DEEP = {"d1": (32, 1), "d2": (48, 2), "d3": (80, 3), "d4": (128, 3), "u3": (80, 2), "u2": (48, 2), "u1": (32, 2)}

    def __init__(self):
        super().__init__()
        for stage, (channels, many) in self.DEEP.items():
            getattr(self, stage).extend(Deep(channels) for _ in range(many))


LATTICE_NETS = {"lattice": LatticeNet, "lattice_closer": CloserLatticeNet}


class Full(nn.Module):
    """A whole convolution beside a short cut: on a processor it runs at three times the speed of thinner ones."""

    def __init__(self, n):
        super().__init__()
        self.conv = conv(n, n)

    def forward(self, x):
        return x + self.conv(x)


ALONE = 0.25  # share of draws in training in which a tile isn't told what its cells have in common


class Cells(nn.Module):
    """Maps of `wide` channels, so many places a cell -> logits of each count; what all cells have in common (how large a single
    seedling of this tray is) comes in by their mean."""

    def __init__(self, classes, wide=64, places=6):
        super().__init__()
        window, stride = 2 * places - 2, (places, places // 2)
        self.wide = conv(wide, 128, 1)
        self.gather = nn.Sequential(nn.Conv2d(128, 128, window, stride, groups=128, bias=False), nn.BatchNorm2d(128),
                                    nn.ReLU(inplace=True))
        self.common = conv(128, 64, 1)
        self.judge = nn.Conv2d(64, 128, 1)
        self.head = nn.Conv2d(128, 128, 1)
        self.out = nn.Conv2d(128, classes, 1)

    def gathered(self, f):
        return self.gather(self.wide(f[:, :, 1:-1, 1:-1]))

    def in_common(self, g, cells):
        """The mean over `cells` (n, 1, a - 1, 2 b - 3), 1 where the picture shows something: (n, 64, 1, 1)."""
        return (self.common(g) * cells).sum((2, 3), keepdim=True) / cells.sum((2, 3), keepdim=True).clamp(min=1)

    def judged(self, g, common):
        if self.training:  # else it learns to override what a cell shows by what the others show
            common = common * (torch.rand(len(common), 1, 1, 1, device=common.device) >= ALONE).to(common.dtype)
        return self.out(torch.relu(self.head(g) + self.judge(common)))

    def counts(self, f, cells):
        g = self.gathered(f)
        return self.judged(g, self.in_common(g, cells))


class CountNet(Cells):
    """Tray laid flat (n, 3, px a, px b), its sides (n, 8, places a, places b) and cells -> logits (n, classes, a - 1, 2 b - 3).

    px is `places` times four times the first stride. Entry [row, 2 u] is the cell whose centre stands at px (u + 1), px (row + 1)."""

    def __init__(self, classes, first=(5, 3), sides=8, wide=64, blocks=4, places=6):
        super().__init__(classes, wide, places)
        self.down = nn.Sequential(conv(3, 24, *first), conv(24, 32, 3, 2), conv(32, wide, 3, 2))
        self.told = nn.Conv2d(sides, wide, 1)
        self.body = nn.Sequential(*[Full(wide) for _ in range(blocks)])
        self.stems = nn.Conv2d(wide, 1, 1)

    def features(self, x, sides):
        return self.body(self.down(x) + self.told(sides))

    def forward(self, x, sides, cells):
        return self.counts(self.features(x, sides), cells)


FIRST = {"counts": (5, 3), "seeds": (7, 4), "seeds_large_tray": (7, 4)}  # kernel and stride of the first convolution
PLACES = {"counts": 6, "seeds": 6, "seeds_large_tray": 4}  # a cell each way


def counter(kind, classes, weights=None):
    """A CountNet for counts or seeds with these weights, as deep as they are; a new one without. The first convolution of
    one that looks at another size is taken over at this one."""
    if weights is None:
        return CountNet(classes, FIRST[kind])
    net = CountNet(classes, FIRST[kind], blocks=1 + max(int(name.split(".")[1]) for name in weights if name.startswith("body.")))
    first, size = "down.0.0.weight", FIRST[kind][0]
    old = weights[first]
    resized = nn.functional.interpolate(old, size=(size, size), mode="bilinear", align_corners=False)
    net.load_state_dict({**weights, first: resized * (old.shape[-1] / size) ** 2})
    return net


class EndNet(nn.Module):
    """Strips along sides of trays (n, 4, 48, w), w a multiple of 8, see ends.py -> logits (n, 4) of what each line is."""

    def __init__(self, wide=(24, 48, 64, 96)):
        super().__init__()
        a, b, c, d = wide
        self.down = nn.Sequential(conv(4, a, 5, 2), conv(a, b, 3, 2), conv(b, c, 3, 2), conv(c, d))
        self.gather = nn.Sequential(nn.Conv2d(d, 96, (6, 1), bias=False), nn.BatchNorm2d(96), nn.ReLU(inplace=True))
        self.head = nn.Conv2d(192, 64, 1)
        self.out = nn.Conv2d(64, 4, 1)

    def forward(self, x):
        g = self.gather(self.down(x))
        pooled = torch.cat([g.mean((2, 3), keepdim=True), g.amax((2, 3), keepdim=True)], 1)
        return self.out(torch.relu(self.head(pooled)))[:, :, 0, 0]


class SeamNet(nn.Module):
    """Trays laid flat (n, 4, 16 a, 16 b), see seams.py, and which of their places are a lattice's (n, 1, 4 a, 4 b) -> logits (n, 2 b) and
    (n, 2 a) that one tray ends and another begins at each line across and each line down, one for half a cell."""

    def __init__(self, wide=(32, 64, 96), profile=96):
        super().__init__()
        a, b, c = wide
        self.down = nn.Sequential(conv(4, a, 5, 2), conv(a, b, 3, 2), conv(b, c), conv(c, c))
        for name in ("upright", "level"):
            setattr(self, name, nn.Sequential(conv(c, profile, 1), conv(2 * profile, profile, (5, 1)), conv(profile, profile, (5, 1), dilation=3),
                                              conv(profile, profile, (5, 1), dilation=6), nn.Conv2d(profile, 1, 1)))

    def along(self, name, f, inside):
        first, *rest = getattr(self, name)
        f = first(f) * inside
        mean = f.sum(3, keepdim=True) / inside.sum(3, keepdim=True).clamp(min=1)
        y = torch.cat([mean, f.amax(3, keepdim=True)], 1)
        for layer in rest:
            y = layer(y)
        return y[:, 0, ::2, 0]

    def forward(self, x, inside):
        f = self.down(x)
        return self.along("upright", f.transpose(2, 3), inside.transpose(2, 3)), self.along("level", f, inside)


LINE_NETS = {"ends": EndNet, "seams": SeamNet}
