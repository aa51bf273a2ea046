# SPDX-License-Identifier: Apache-2.0
"""teach.py ARRAYS MODEL.safetensors OUT.pt MINUTES counts|seeds [MEMBER [MORE]]: one counter taught by a whole committee.

It begins as the committee's last network, or as that with this number, and is fitted to the truth and to the mean chances of them all,
which look at the very tiles that it sees, each flipped in a way of its own (after Beyer et al. 2022, "Knowledge distillation: a good
teacher is patient and consistent"). So one look comes near to as many as there are networks. Where leaves are of another colour than
green, the medium is overgrown or seeds lie in view the truth alone is told: the committee may not know such. MORE: so many layers more,
which at first change little. OUT.pt is for export.py."""
import sys

import torch
import torch.nn.functional as F

from export import fused, read_safetensors
from nets import FIRST, CountNet, Full
from scenes import MOST
from tiles import fit
from train_counts import batch_of, cells_seen, feed_of, look, measure, move, normal

FASTEST = 3e-4  # learning rate
TRUTH, TAUGHT, MARKS = 0.8, 0.7, 0.4  # weights; where the committee isn't asked, the truth has 1
SMALL, NEWER = 0.1, 2.5  # of new layers: their weights against what they would begin with; their rate against the old ones'
FLIPS = ((), (3,), (2,), (2, 3))  # axes


def members_of(path, kind):
    """The committee's networks, batch norms folded in; where stems stand they don't tell."""
    tensors, _ = read_safetensors(path)
    members = []
    while own := {name.split(".", 2)[2]: value for name, value in tensors.items()
                  if name.startswith(f"nets.{len(members)}.") and not name.endswith((".reach", ".usual"))}:
        own["gather.0.weight"] = own["gather.0.weight"][:, :, 1:, 1:]  # see export.py
        blocks = sum(name.startswith("body.") and name.endswith(".weight") for name in own)
        net = fused(CountNet(MOST + 1, FIRST[kind], blocks=blocks).eval())
        net.load_state_dict(own, strict=False)
        torch.nn.init.zeros_(net.stems.weight)
        torch.nn.init.constant_(net.stems.bias, -3.0)
        members.append(net.requires_grad_(False))
    return members


def deepen(net, more):
    """Adds so many layers before the cells are gathered; their parameters."""
    layers = [fused(Full(net.wide[0].in_channels).eval()).requires_grad_(True) for _ in range(more)]
    for layer in layers:
        layer.conv[0].weight.data *= SMALL
        net.body.append(layer)
    return [part for layer in layers for part in layer.parameters()]


@torch.no_grad()
def taught(members, x, sides, cells):
    """The mean of the members' chances, each at these tiles flipped in another way."""
    total, ways = 0, torch.randperm(len(FLIPS))
    for i, net in enumerate(members):
        axes = FLIPS[ways[i % len(ways)]]
        turned = sides.flip(axes)
        turned[:, 0] *= -1 if 3 in axes else 1
        turned[:, 1] *= -1 if 2 in axes else 1
        chances = net(x.flip(axes).contiguous(memory_format=torch.channels_last), turned, cells.flip(axes))
        total = total + chances.float().softmax(1).flip(axes)
    return total / len(members)


def main():
    source, model, out, minutes, kind = *sys.argv[1:4], float(sys.argv[4]), sys.argv[5]
    begin = int(sys.argv[6]) if len(sys.argv) > 6 else -1
    field = int(kind == "seeds")
    torch.manual_seed(7 + begin)
    dev = "cuda" if torch.cuda.is_available() else "cpu"
    at = lambda net: net.to(dev).to(memory_format=torch.channels_last)
    members, net = [at(member) for member in members_of(model, kind)], members_of(model, kind)[begin].requires_grad_(True)
    old, new = list(net.parameters()), deepen(net, int(sys.argv[7]) if len(sys.argv) > 7 else 0)
    net = at(net)
    feed = feed_of(source, dev, kind)
    batch = (64 if field else 128) if dev == "cuda" else 8

    def loss_of_batch():
        drawn = torch.multinomial(feed.train.weight, batch)
        x, s, y, heat = batch_of(feed.train.parts, drawn, field)
        facts = feed.train.parts[-1][drawn]
        unknown = ((facts[:, 5] > 0) | (facts[:, 2] > 0) & (field == 0)).float()[:, None, None]
        x = move(x)
        cells = cells_seen(x)
        x = normal(look(x))
        # Cells whose truth is unsure are taught, too: in their row some cell stands at a column of the same parity.
        there = torch.zeros_like(y, dtype=torch.float32)
        for parity in (0, 1):
            there[:, :, parity::2] = (y[:, :, parity::2] >= 0).any(2, keepdim=True).float()
        there = there * cells[:, 0] * (1 - unknown)
        with torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            said = taught(members, x, s, cells)
            f = net.features(x.contiguous(memory_format=torch.channels_last), s)
            z, marks = net.counts(f, cells).float(), net.stems(f)[:, 0].float()
        apart = (F.kl_div(z.log_softmax(1), said, reduction="none").sum(1) * there).sum() / there.sum().clamp(min=1)
        heat = F.max_pool2d(heat[:, None], 2)[:, 0]
        place = F.binary_cross_entropy_with_logits(marks, heat, weight=1 + 4 * heat)
        off = F.cross_entropy(z, y, ignore_index=-1, reduction="none") * (TRUTH + (1 - TRUTH) * unknown)
        return off.sum() / (y >= 0).sum().clamp(min=1) + TAUGHT * apart + MARKS * place

    mean, step = fit(net, feed, out, minutes, FASTEST, loss_of_batch, lambda mean: measure(mean, feed.test, 600, field, True), warm=300,
                     rates=[(old, 1), (new, NEWER)])
    for told in (True, False):
        print("end", step, feed.scenes, "told" if told else "blind", measure(mean, feed.test, 10 ** 9, field, told), flush=True)


if __name__ == "__main__":
    main()
