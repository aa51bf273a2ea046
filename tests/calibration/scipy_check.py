#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Works this library's figures out anew with SciPy and compares.  scipy_check.py FIGURES_PROGRAM

Exit status 77 (skipped, with a word) where SciPy is missing.
"""
import subprocess
import sys

try:
    import numpy
    from scipy import optimize, stats
except ImportError:
    print("skipped: SciPy is not installed (Debian: python3-scipy)")
    sys.exit(77)


def binomtest_interval(method):
    def limits(count, n, confidence):
        interval = stats.binomtest(int(count), int(n)).proportion_ci(confidence, method)
        return [interval.low, interval.high]
    return limits


def jeffreys(count, n, confidence):
    tail = (1 - confidence) / 2
    return [0 if count == 0 else stats.beta.ppf(tail, count + .5, n - count + .5),
            1 if count == n else stats.beta.ppf(1 - tail, count + .5, n - count + .5)]


def mid_p(count, n, confidence):
    tail = (1 - confidence) / 2
    upper = lambda p: stats.binom.sf(count, n, p) + stats.binom.pmf(count, n, p) / 2
    solve = lambda share: optimize.brentq(lambda p: upper(p) - share, 0, 1, xtol=1e-14)
    return [0 if count == 0 else solve(tail), 1 if count == n else solve(1 - tail)]


def beta_binomial(*cells):
    seedlings, seeds = numpy.array(cells[0::2]), numpy.array(cells[1::2])

    def loss(at):
        mean, rho = 1 / (1 + numpy.exp(-at[0])), 1 / (1 + numpy.exp(-at[1]))
        total = 1 / rho - 1
        return -stats.betabinom.logpmf(seedlings, seeds, mean * total, (1 - mean) * total).sum()
    best = optimize.minimize(loss, [1, -2], method="Nelder-Mead", options={"xatol": 1e-10, "fatol": 1e-13, "maxiter": 9999})
    return [1 / (1 + numpy.exp(-best.x[0])), 1 / (1 + numpy.exp(-best.x[1])), -best.fun]


def curve(sown, *series):
    times, up = numpy.array((0,) + series[0::2]), numpy.array((0,) + series[1::2])

    def loss(at):
        share, steep, half = 1 / (1 + numpy.exp(-at[0])), numpy.exp(at[1]), numpy.exp(at[2])
        risen = share * stats.fisk.cdf(times, steep, scale=half)
        return -(numpy.diff(up) * numpy.log(numpy.diff(risen))).sum() - (sown - up[-1]) * numpy.log(1 - risen[-1])
    best = optimize.minimize(loss, [0, 2, 1.6], method="Nelder-Mead",
                             options={"xatol": 1e-11, "fatol": 1e-13, "maxiter": 9999})
    return [1 / (1 + numpy.exp(-best.x[0])), -numpy.exp(best.x[1]), numpy.exp(best.x[2]), -best.fun]


def hypergeometric(cells, empty, part_cells, part_empty):
    spread = stats.hypergeom(int(cells), int(empty), int(part_cells))
    return [spread.sf(part_empty - 1), spread.cdf(part_empty)]


# Each figure: how to work it out, and how closely it must agree.
FIGURES = {
    "wilson": (binomtest_interval("wilson"), 1e-12), "wilsoncc": (binomtest_interval("wilsoncc"), 1e-12),
    "exact": (binomtest_interval("exact"), 1e-9), "jeffreys": (jeffreys, 1e-9), "midp": (mid_p, 1e-9),
    "betabinomial": (beta_binomial, 1e-6), "curve": (curve, 1e-6), "hypergeometric": (hypergeometric, 1e-9)}


def main(program):
    lines = subprocess.run([program], check=True, capture_output=True, text=True).stdout.splitlines()
    seen, wrong = {}, 0
    for line in lines:
        left, right = line.split("=")
        name, *inputs = left.split()
        work_out, tolerance = FIGURES[name]
        ours, theirs = [float(x) for x in right.split()], work_out(*(float(x) for x in inputs))
        seen[name] = seen.get(name, 0) + 1
        for mine, other in zip(ours, theirs, strict=True):
            if not abs(mine - other) <= tolerance * max(1e-3, abs(other)):
                print(f"{name} {' '.join(inputs[:8])}: {ours} here, {theirs} by SciPy")
                wrong += 1
                break
    missing = set(FIGURES) - set(seen)
    print(f"{sum(seen.values())} figures of {len(seen)} kinds, {wrong} differ", f"missing: {missing}" if missing else "")
    return 1 if wrong or missing else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
