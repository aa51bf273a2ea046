# SPDX-License-Identifier: Apache-2.0
"""A counter that looks twice: what the seeds of this tray look like, then at each place with that in mind, and at the picture itself."""
import torch
import torch.nn as nn
import torch.nn.functional as F

from export import fused
from nets import FIRST, PLACES, Cells, CountNet, counter
from scenes import MOST


class Told(nn.Module):
    """A convolution, its sums scaled and shifted, a channel each, by what is known (after Perez et al. 2018, "FiLM")."""

    def __init__(self, i, o, know, s=1, keep=False):
        super().__init__()
        self.conv = nn.Sequential(nn.Conv2d(i, o, 3, s, 1, bias=False), nn.BatchNorm2d(o))
        self.tell, self.keep = nn.Conv2d(know, 2 * o, 1), keep
        nn.init.zeros_(self.tell.weight)
        nn.init.zeros_(self.tell.bias)

    def forward(self, x, known):
        scale, shift = self.tell(known).chunk(2, 1)
        y = torch.relu(self.conv(x) * (1 + scale) + shift)
        return x + y if self.keep else y


class Near(Cells):
    """The second look: the picture itself, the first one's maps, those twice as fine, and what is known -> logits."""

    def __init__(self, classes, wide=64, fine=48, know=128, blocks=3, places=6):
        super().__init__(classes, wide, places)
        self.keen = nn.ModuleList([Told(3, 16, know, 2), Told(16, 24, know, 2), Told(24, fine, know, 2)])
        self.fine = nn.ModuleList([Told(32, fine, know), Told(fine, fine, know, keep=True), Told(fine, wide, know, 2)])
        self.body = nn.ModuleList([Told(wide, wide, know, keep=True) for _ in range(blocks)])
        self.marks = nn.Conv2d(fine, 1, 1)
        with torch.no_grad():  # at first it all but says what the first look said
            for part in (self.keen[2], self.fine[2], *self.body):
                part.conv[1].weight[:] = 0.2
            self.marks.bias[:] = -3

    def keenly(self, x, known):
        """What the picture shows at half its px, which no small seed falls between, at an eighth."""
        for part in self.keen:
            x = part(x, known)
        return x


class Closer(nn.Module):
    """Tray laid flat, its sides and cells as CountNet has them -> logits (n, classes, a - 1, 2 b - 3)."""

    def __init__(self, far, wide=64, know=128, places=6):
        super().__init__()
        self.far, self.near = far, Near(MOST + 1, wide, know=know, places=places)
        self.like = nn.Conv2d(wide, 64, 1)
        self.know = nn.Conv2d(128, know, 1)

    def known(self, x, f, marks, common):
        """The mean of the places that look like a seed, and of what cells have in common: (n, know, 1, 1)."""
        seen = F.max_pool2d((x != 0).any(1, keepdim=True).to(f.dtype), x.shape[-1] // f.shape[-1])
        weight = torch.sigmoid(marks) * seen
        seed = (weight * torch.relu(self.like(f))).sum((2, 3), keepdim=True) / (weight.sum((2, 3), keepdim=True) + 1)
        return torch.relu(self.know(torch.cat([seed, common], 1)))

    def looks(self, x, sides, cells):
        """Both looks' logits, and where each thinks that seeds lie, at so many places a cell and twice as many."""
        far, near = self.far, self.near
        finer = far.down[:2](x)
        f = far.body(far.down[2](finer) + far.told(sides))
        g, marks = far.gathered(f), far.stems(f)
        common = far.in_common(g, cells)
        known = self.known(x, f, marks, common)
        e = near.fine[1](near.fine[0](finer, known) + near.keenly(x, known), known)
        h = f + near.fine[2](e, known)
        for block in near.body:
            h = block(h, known)
        return near.counts(h, cells), far.judged(g, common), marks[:, 0], near.marks(e)[:, 0]

    def forward(self, x, sides, cells):
        return self.looks(x, sides, cells)[0]


def closer(kind, weights):
    """A Closer of this kind with these weights, as deep as they are; its first look may have its batch norms folded in.
    Those of a plain counter are its first look's, and it is yet to learn the second."""
    first = [name for name in weights if name.startswith("far.")]
    if not first:
        return Closer(counter(kind, MOST + 1, weights))
    blocks = 1 + max(int(name.split(".")[2]) for name in first if ".body." in name)
    far = CountNet(MOST + 1, FIRST[kind], blocks=blocks, places=PLACES[kind])
    net = Closer(far if any("running_mean" in name for name in first) else fused(far.eval()), places=PLACES[kind])
    net.load_state_dict(weights)
    return net
