# SPDX-License-Identifier: Apache-2.0
"""train_closer.py ARRAYS FROM.pt OUT.pt MINUTES counts|seeds: fits Closer, from one's weights or from a counter's as its first look.

Every tenth scene is for measuring; scenes that come into ARRAYS while it trains are taken in. OUT.pt is written every minute."""
import sys

import torch
import torch.nn.functional as F

from closer import closer
from tiles import fit
from train_counts import FASTEST, batch_of, cells_seen, feed_of, look, measure, move, normal

SLOW = 0.3  # of the rate, for what was learned before
FIRST_LOOK, FIRST_MARKS = 0.3, 0.5  # weights beside the second look's


def main():
    source, start, out, minutes, kind = *sys.argv[1:4], float(sys.argv[4]), sys.argv[5]
    field = int(kind == "seeds")
    torch.manual_seed(21)
    dev = "cuda" if torch.cuda.is_available() else "cpu"
    feed = feed_of(source, dev, kind)
    net = closer(kind, torch.load(start, map_location="cpu")).to(dev).to(memory_format=torch.channels_last)
    batch = (64 if field else 80) if dev == "cuda" else 4

    def loss_of_batch():
        x, s, y, heat = batch_of(feed.train.parts, torch.multinomial(feed.train.weight, batch), field)
        if field and torch.rand(1) < 0.3:  # seeds come in any colour
            x = x[:, torch.randperm(3)]
        x = move(x)
        cells = cells_seen(x)
        x = normal(look(x)).contiguous(memory_format=torch.channels_last)
        with torch.autocast(dev, torch.bfloat16, enabled=dev == "cuda"):
            said, first, marks, fine = (part.float() for part in net.looks(x, s, cells))
        coarse = F.max_pool2d(heat[:, None], 2)[:, 0]
        return F.cross_entropy(said, y, ignore_index=-1) + FIRST_LOOK * F.cross_entropy(first, y, ignore_index=-1) + \
            FIRST_MARKS * F.binary_cross_entropy_with_logits(marks, coarse, weight=1 + 4 * coarse) + \
            F.binary_cross_entropy_with_logits(fine, heat, weight=1 + 9 * heat)

    rates = [(net.far.parameters(), SLOW), ((p for name, p in net.named_parameters() if not name.startswith("far.")), 1)]
    mean, step = fit(net, feed, out, minutes, FASTEST, loss_of_batch, lambda mean: measure(mean, feed.test, 600, field, True), warm=400,
                     rates=rates)
    for told in (True, False):
        print("end", step, feed.scenes, "told" if told else "blind", measure(mean, feed.test, 10 ** 9, field, told), flush=True)


if __name__ == "__main__":
    main()
