# SPDX-License-Identifier: Apache-2.0
"""measure.py BUILD REPEATS: what tests/bench.sh measures, as tables.

Whole processes, from start to exit: medians of REPEATS runs, in which the rivals take turns, so that a busy moment hits
all alike. "processor" is user and system time from the kernel's own account (getrusage), which other work on the machine
disturbs least; "clock" is the time that a person waits.
"""
import os
import pathlib
import re
import statistics
import subprocess
import sys
import time

NAMES = ["plug-128-brassica", "paper-chain-264-beet", "paper-chain-264-brassica", "few"]
SEEDS, OFF_LIST = "seeds", "off-list"
WORDS = {"plug-128-brassica": "8 x 16 square, 117 seedlings", "paper-chain-264-beet": "22 x 12 staggered, 347 seedlings",
         "paper-chain-264-brassica": "22 x 12 staggered, 283 seedlings", "few": "9 x 18 square, none up (painted)",
         OFF_LIST: "15 x 7 square, 84 seedlings, not in the list (painted)", SEEDS: "22 x 12 staggered, seeds in view (painted)"}


class Run:
    """One process: processor and clock milliseconds, peak megabytes, what it printed and (a few lines) warned."""

    def __init__(self, command, cores=None):
        limit = (lambda: os.sched_setaffinity(0, cores)) if cores else None
        start = time.perf_counter()
        process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, preexec_fn=limit)
        self.said, self.warned = process.stdout.read().decode(), process.stderr.read().decode()
        _, status, usage = os.wait4(process.pid, 0)
        self.clock = 1000 * (time.perf_counter() - start)
        self.processor = 1000 * (usage.ru_utime + usage.ru_stime)
        self.peak = usage.ru_maxrss / 1024
        if status:
            sys.exit(f"failed: {' '.join(command)}")


def in_turns(commands, repeats):
    """A list of runs for each command; each once before anything counts."""
    for command in commands:
        Run(command)
    rounds = [[Run(command) for command in commands] for _ in range(repeats)]
    return list(zip(*rounds))


def median(runs, what):
    return statistics.median(getattr(run, what) for run in runs)


def against_rivals(build, photos, repeats):
    print("\n| 12-megapixel photo | count | decode only | ratio | decoding itself | plain pipeline | ratio |\n"
          "| --- | --- | --- | --- | --- | --- | --- |")
    for name in NAMES:
        photo = str(photos / f"{name}-12.jpg")
        count, decode, plain = in_turns(
            [[f"{build}/cli/braird", "count", "--json", photo], [f"{build}/decode_only", photo],
             ["/usr/bin/python3", "tests/bench/plain_pipeline.py", photo, photo.replace(".jpg", ".truth.json")]], repeats)
        bare = [statistics.median(float(run.said.split()[i]) for run in decode) for i in (0, 1)]

        def both(runs):
            return f"{median(runs, 'processor'):.0f} / {median(runs, 'clock'):.0f}"

        def ratio(runs):
            return " / ".join(f"{median(count, what) / median(runs, what):.2f}" for what in ("processor", "clock"))

        print(f"| {WORDS[name]} | {both(count)} | {both(decode)} | {ratio(decode)} | {bare[0]:.0f} / {bare[1]:.0f} "
              f"| {both(plain)} | {ratio(plain)} |")
    print("\nMilliseconds, processor / clock; ratios likewise, of count to that rival.")


def by_size(build, photos, repeats):
    print("\n| photo | megapixels | count, ms | decode only, ms | peak, MB | read at, megapixels |\n"
          "| --- | --- | --- | --- | --- | --- |")
    for name in NAMES[:2]:
        for megapixels, read in ((3, 3), (12, 3), (48, 3)):
            photo = str(photos / f"{name}-{megapixels}.jpg")
            count, decode = in_turns([[f"{build}/cli/braird", "count", "--json", photo],
                                      [f"{build}/decode_only", photo]], repeats)
            print(f"| {name} | {megapixels} | {median(count, 'processor'):.0f} | {median(decode, 'processor'):.0f} "
                  f"| {median(count, 'peak'):.0f} | {read} |")
    start = in_turns([[f"{build}/cli/braird", "--version"]], repeats)[0]
    print(f"\nThe program's start (--version): {median(start, 'processor'):.0f} ms of processor time, "
          f"{median(start, 'peak'):.0f} MB.")


def stage_times(command, cores=None):
    """Clock and processor milliseconds of each stage, as the program says."""
    warned = Run(command, cores).warned
    return {stage: (float(clock), float(processor)) for stage, clock, processor in re.findall(r"(\w+) (\d+) \((\d+)\)", warned)}


def stages(build, photos, repeats):
    one_core = set(sorted(os.sched_getaffinity(0))[:1])
    print("\n| stage, ms | on all cores, clock (processor) | on one core | of a decode-only program there | of the decoding itself |\n"
          "| --- | --- | --- | --- | --- |")
    for name in [*NAMES, OFF_LIST, SEEDS]:
        photo = str(photos / f"{name}-12.jpg")
        command = [f"{build}/cli/braird", "count", "--json", "--timing", *(["--of", "seeds"] if name == SEEDS else []), photo]
        rounds = [(stage_times(command), stage_times(command, one_core), Run([f"{build}/decode_only", photo], one_core))
                  for _ in range(repeats)]
        program = statistics.median(run.clock for _, _, run in rounds)
        bare = statistics.median(float(run.said.split()[1]) for _, _, run in rounds)
        for stage in ("decode", "look", "lattice", "cells"):
            clock, processor = (statistics.median(every[stage][i] for every, _, _ in rounds) for i in (0, 1))
            alone = statistics.median(one[stage][0] for _, one, _ in rounds)
            print(f"| {WORDS[name]}: {stage} | {clock:.0f} ({processor:.0f}) | {alone:.0f} "
                  f"| {100 * alone / program:.0f} % | {100 * alone / bare:.0f} % |")


def throughput(build, photos, repeats):
    many = [str(photos / f"{name}-12.jpg") for name in NAMES] * 6
    cores = sorted(os.sched_getaffinity(0))
    two_cores = cores[:2]
    one, two = [], []
    for _ in range(repeats):
        one.append(Run([f"{build}/cli/braird", "count", "--json", "--jobs", "1", *many], two_cores[:1]))
        two.append(Run([f"{build}/cli/braird", "count", "--json", "--jobs", "2", *many], two_cores))
    best_one, best_two = min(run.clock for run in one), min(run.clock for run in two)
    print(f"\n{len(many)} photos of 12 megapixels: {len(many) / best_one * 1000:.1f} a second on one core, "
          f"{len(many) / best_two * 1000:.1f} on two ({best_one / best_two:.2f} times as many; the best of {repeats} runs "
          f"each, since other work takes a core's time); processor time "
          f"{median(one, 'processor') / len(many):.0f} and {median(two, 'processor') / len(many):.0f} ms a photo. "
          f"Peak {median(one, 'peak'):.0f} and {median(two, 'peak'):.0f} MB.")


def main():
    build, repeats = sys.argv[1], int(sys.argv[2])
    photos = pathlib.Path(build) / "bench"
    print(f"Machine: {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f} at the start.")
    against_rivals(build, photos, repeats)
    by_size(build, photos, repeats)
    stages(build, photos, repeats)
    throughput(build, photos, max(3, repeats // 2))


if __name__ == "__main__":
    main()
