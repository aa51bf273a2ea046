// SPDX-License-Identifier: Apache-2.0
// Between which shares does the truth lie, when `count` of `n` independent seeds (or cells) came up?
//
// Each function answers with its own method; all are two-sided. `count` and `n` may be fractional, since a
// clustered sample is passed with its effective size.
//
//   method          good for                                                     its fault
//   wilson          the default: mean coverage is the stated one from n = 5 up   dips near 0 and 1
//   wilson_cc       at least the stated coverage nearly everywhere               wide
//   clopper_pearson at least the stated coverage everywhere ("exact")            wide
//   blaker, sterne  exact too, and shorter                                       slow; whole numbers only
//   mid_p           exact, but with the stated coverage on average               dips a little
//   jeffreys        equal-tailed Bayes; close to mid_p                           dips near 0 and 1
//   agresti_coull   by hand                                                      may leave [0, 1]
//
// Why Wilson by default: mean coverage at n = 50 is 0.9515 against a nominal 0.95 (textbook normal interval:
// 0.9006), and it needs no iteration. Brown, Cai & DasGupta 2001, Stat Sci 16:101-133; Newcombe 1998, Stat
// Med 17:857-872.
//
// All throw std::invalid_argument unless n > 0, 0 ≤ count ≤ n and 0 < confidence < 1.
#pragma once

#include <optional>
#include <string>

namespace braird {

struct Interval {
  double low = 0;
  double high = 0;
};

/// A number, the interval it lies in, and the name of the method for the reader.
struct Estimate {
  double estimate = 0;
  double low = 0;
  double high = 0;
  std::string method;
};

/// How many standard errors enclose a normal variable with this chance? 0.95 → 1.959964. `confidence` in (0,
/// 1).
double normal_quantile_two_sided(double confidence);

/// The same for an estimated error: Student's t with `freedom` degrees; fewer than 1 are taken as 1. May be
/// infinite.
double t_quantile(double freedom, double confidence);

/// `count` out of `n`.
struct Share {
  double count = 0;
  double n = 0;
};

/// The score interval. Wilson 1927, JASA 22:209-212.
Interval wilson(double count, double n, double confidence = 0.95);

/// The score interval for a given number of standard errors `z` > 0 (a t quantile, say).
Interval wilson_for_z(double count, double n, double z);

/// What count of how many independent seeds has this score interval? What a forecast is worth in seeds.
/// 0 ≤ low < high ≤ 1; nothing where the limits leave all open. Wide limits that no count has give the
/// nearest.
std::optional<Share> wilson_sample(Interval limits, double confidence = 0.95);

/// The score interval where the count itself may be wrong: `error` ≥ 0 is one standard error of that, in
/// shares; 0 gives wilson_for_z. A rate p is refused where count / n lies more than q standard errors
/// √((z / z₀)² p (1 − p) / n + error²) from it, z₀ being the normal quantile of the confidence. A count can't
/// be wrong past 0 or n: near an end such errors show as the end itself, which is then nothing unlikely and
/// refuses no rate. So q is z₀ in the middle, and falls to the one-sided quantile where the error alone
/// passes the other end with a chance of 1 − confidence: the smaller tail, and of the other what is no
/// likelier, as in Blaker 2000, Can J Stat 28:783-798.
Interval wilson_with_error(double count, double n, double z, double error, double confidence = 0.95);

/// The score interval with continuity correction. Newcombe 1998, Stat Med 17:857, method 4.
Interval wilson_cc(double count, double n, double confidence = 0.95);

/// The "exact" interval from beta quantiles. Clopper & Pearson 1934, Biometrika 26:404-413.
Interval clopper_pearson(double count, double n, double confidence = 0.95);

/// The exact interval counting half the chance of what was seen. Lancaster 1949; Newcombe 1998, method 6.
Interval mid_p(double count, double n, double confidence = 0.95);

/// All rates that Blaker's exact test does not refuse: inside Clopper and Pearson's limits, nested for rising
/// confidence. Whole numbers only. Blaker 2000, Can J Stat 28:783-798.
Interval blaker(double count, double n, double confidence = 0.95);

/// All rates under which what was seen is not among the least likely counts. Whole numbers only. Sterne 1954,
/// Biometrika 41:275-278.
Interval sterne(double count, double n, double confidence = 0.95);

/// Equal tails of Beta(count + ½, n − count + ½); the outer limit is 0 or 1 at count = 0 or n. Brown et al.
/// 2001.
Interval jeffreys(double count, double n, double confidence = 0.95);

/// Normal interval after adding z²/2 successes and failures; not clipped. Agresti & Coull 1998, Am Stat
/// 52:119-126.
Interval agresti_coull(double count, double n, double confidence = 0.95);

/// How far apart are two rates, first minus second? Newcombe's method 10: each side's Wilson limits, joined
/// by squares. The default, for its coverage with small samples. Newcombe 1998, Stat Med 17:873-890.
Interval newcombe_difference(Share first, Share second, double confidence = 0.95);

/// The same from continuity-corrected Wilson limits (method 11): wider, rarely short of the stated coverage.
Interval newcombe_difference_cc(Share first, Share second, double confidence = 0.95);

/// The same join for two estimates with intervals of any origin (clustered trays, corrected counts).
/// The estimates must lie inside their intervals, else std::invalid_argument.
Estimate difference(const Estimate& first, const Estimate& second);

}  // namespace braird
