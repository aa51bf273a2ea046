#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Works this library's figures out anew with SciPy and compares.  scipy_check.py FIGURES_PROGRAM

Exit status 77 (skipped, with a word) where SciPy is missing.
"""
import subprocess
import sys

try:
    import numpy
    from scipy import optimize, special, stats
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
    # The simplex stops in the likelihood's rounding errors; its slope's root is sharper.
    mean, total = 1 / (1 + numpy.exp(-best.x[0])), numpy.exp(-best.x[1])

    def slope(shape):
        a, b = shape
        rest = special.digamma(a + b) - special.digamma(seeds + a + b)
        return [(special.digamma(seedlings + a) - special.digamma(a) + rest).sum(),
                (special.digamma(seeds - seedlings + b) - special.digamma(b) + rest).sum()]
    a, b = optimize.root(slope, [mean * total, (1 - mean) * total], tol=1e-14).x
    return [a / (a + b), 1 / (a + b + 1), stats.betabinom.logpmf(seedlings, seeds, a, b).sum()]


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


def score_with_error(count, n, z, error):
    """All rates from which what was seen lies less far than the smaller tail allows, counts cut to 0 and 1."""
    usual = stats.norm.ppf(.975)

    def excess(p, end):
        past = stats.norm.sf(abs(end - p) / error) if error > 0 else 0
        reach = stats.norm.isf(min(.05, max(.025, past)))
        return abs(p - count / n) - reach * ((z / usual) ** 2 * p * (1 - p) / n + error ** 2) ** .5
    return [optimize.brentq(excess, 0, count / n, args=(0,), xtol=1e-15) if excess(0, 0) > 0 else 0,
            optimize.brentq(excess, count / n, 1, args=(1,), xtol=1e-15) if excess(1, 1) > 0 else 1]


def one_seed_a_cell(count, n, confidence):
    """Wilson's limits with Student's t on n + z² − 1 degrees (rates.h)."""
    z = stats.norm.ppf((1 + confidence) / 2)
    # SciPy's own quantile has nine digits where the degrees are not whole.
    t = optimize.brentq(lambda at: stats.t.sf(at, n + z * z - 1) - (1 - confidence) / 2, 1, 100, xtol=1e-14)
    excess = lambda p: (p - count / n) ** 2 - t * t * p * (1 - p) / n
    return [0 if count == 0 else optimize.brentq(excess, 1e-12, min(count / n, 1 - 1e-9), xtol=1e-15),
            1 if count == n else optimize.brentq(excess, max(count / n, 1e-9), 1 - 1e-12, xtol=1e-15)]


def score_difference(inflate):
    def limits(x, m, y, n, confidence):
        z2 = stats.norm.ppf((1 + confidence) / 2) ** 2 * ((m + n) / (m + n - 1) if inflate else 1)
        seen = x / m - y / n

        def likeliest(gap):
            loss = lambda p: -(stats.binom.logpmf(x, m, min(1, max(0, p + gap))) + stats.binom.logpmf(y, n, p))
            return optimize.minimize_scalar(loss, bounds=(max(0, -gap), min(1, 1 - gap)), method="bounded",
                                            options={"xatol": 1e-12}).x

        def excess(gap):
            p = likeliest(gap)
            return (seen - gap) ** 2 - z2 * ((p + gap) * (1 - p - gap) / m + p * (1 - p) / n)
        return [optimize.brentq(excess, -1 + 1e-9, seen, xtol=1e-12), optimize.brentq(excess, seen, 1 - 1e-9, xtol=1e-12)]
    return limits


def agresti_caffo(x, m, y, n, confidence):
    p, q = (x + 1) / (m + 2), (y + 1) / (n + 2)
    reach = stats.norm.ppf((1 + confidence) / 2) * (p * (1 - p) / (m + 2) + q * (1 - q) / (n + 2)) ** .5
    return [p - q - reach, p - q + reach]


def accepted(p_value):
    """The outermost rates of a fine grid that a test does not refuse, then narrowed between their neighbours."""
    def limits(count, n, confidence):
        level, grid = 1 - confidence, numpy.linspace(0, 1, 4001)
        keeps = numpy.array([p_value(count, n, p) > level for p in grid])

        def edge(outside, inside):
            for _ in range(40):
                middle = (outside + inside) / 2
                outside, inside = (outside, middle) if p_value(count, n, middle) > level else (middle, inside)
            return inside
        low, high = numpy.flatnonzero(keeps)[[0, -1]]
        return [0 if count == 0 else edge(grid[low - 1], grid[low]), 1 if count == n else edge(grid[high + 1], grid[high])]
    return limits


def sterne_p(count, n, p):
    chances = stats.binom.pmf(numpy.arange(n + 1), n, p)
    return chances[chances <= chances[int(count)] * (1 + 1e-10)].sum()


def blaker_p(count, n, p):
    counts = numpy.arange(n + 1)
    tails = numpy.minimum(stats.binom.cdf(counts, n, p), stats.binom.sf(counts - 1, n, p))
    return stats.binom.pmf(counts, n, p)[tails <= tails[int(count)] * (1 + 1e-10)].sum()


def moran(rows, cols, *values):
    """Index, and its variance over shuffles, from the dense matrix of rook's neighbours."""
    rows, cols, n = int(rows), int(cols), len(values)
    at = numpy.arange(n)
    weights = (abs(at[:, None] // cols - at // cols) + abs(at[:, None] % cols - at % cols) == 1).astype(float)
    off = numpy.array(values) - numpy.mean(values)
    s0, s1 = weights.sum(), ((weights + weights.T) ** 2).sum() / 2
    s2 = ((weights.sum(0) + weights.sum(1)) ** 2).sum()
    peak = n * (off ** 4).sum() / (off ** 2).sum() ** 2
    variance = (n * ((n * n - 3 * n + 3) * s1 - n * s2 + 3 * s0 ** 2) - peak * ((n * n - n) * s1 - 2 * n * s2 + 6 * s0 ** 2)
                ) / ((n - 1) * (n - 2) * (n - 3) * s0 ** 2) - 1 / (n - 1) ** 2
    return [n / s0 * (off @ weights @ off) / (off @ off), variance]


def lot_of_trays(seeds, rho, weight, *up_by_tray):
    """The interval of several hand-counted trays, by the formulas that rates.h tells. −1 ends a tray."""
    trays, tray = [], []
    for up in up_by_tray:
        if up < 0:
            trays.append(numpy.array(tray))
            tray = []
        else:
            tray.append(up)
    cells = numpy.concatenate(trays)
    n, k = seeds * len(cells), len(trays)
    p = cells.sum() / n
    plain = p * (1 - p) / n
    within = min(seeds, max(1, cells.var(ddof=1) / seeds ** 2 / len(cells) / plain))
    sown = numpy.array([seeds * len(tray) for tray in trays])
    between = (k / (k - 1) * sum((tray.sum() - p * size) ** 2 for tray, size in zip(trays, sown)) / n ** 2) / plain
    expected = within + rho * (sown ** 2).sum() / n
    effect = max(within, (weight * expected + (k - 1) * between) / (weight + k - 1))
    quantile = stats.t.ppf(.975, weight + k - 1)
    return [p, *score_with_error(p * n / effect, n / effect, quantile, 0)]


# Each figure: how to work it out, and how closely it must agree.
FIGURES = {
    "wilson": (binomtest_interval("wilson"), 1e-12), "wilsoncc": (binomtest_interval("wilsoncc"), 1e-12),
    "exact": (binomtest_interval("exact"), 1e-9), "jeffreys": (jeffreys, 1e-9), "midp": (mid_p, 1e-9),
    "score": (score_with_error, 1e-9), "mee": (score_difference(False), 1e-6),
    "miettinen": (score_difference(True), 1e-6), "caffo": (agresti_caffo, 1e-12),
    "sterne": (accepted(sterne_p), 1e-7), "blaker": (accepted(blaker_p), 1e-7), "moran": (moran, 1e-9),
    "trays": (lot_of_trays, 1e-9), "oneseed": (one_seed_a_cell, 1e-9),
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
