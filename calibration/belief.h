// SPDX-License-Identifier: Apache-2.0
// What may be true of a seed lot and of the trays sown from it, after all that was counted?
//
// The germination of a tray is the lot's, off by chance on the logit scale; seeds of a cell share a fate with
// correlation ρ; of what comes, a share is up on the day of the count:
//
//   logit p_tray ~ Normal(logit p_lot, spread²)     spread between trays of the lot
//   final count of a cell ~ beta-binomial(seeds dropped, p_tray, ρ)
//   seen count ~ binomial(final count, F(day))
//
// All unknowns (p_lot, spread, ρ, the course F, each p_tray) lie on grids, so the posterior is a sum, with no
// random draws. Where trays are counted, ρ and F are weighed by these alone: a sowing that does worse than
// the lot did before has failed, and is not therefore late. Finished sowings and the pack's word say within
// each F what the germination is, and one in twenty of them nothing, so that what contradicts all else fades
// (with earlier sowings weighing F too, 73 % up on day 16 of a lot known for 95 % were said to become 92 %).
//
// Priors, chosen wide and without a source: p_lot Beta(3, 1), mean 0.75 (the least that law allows on sale
// lies between 40 and 80 %, 7 CFR 201.31, and most seed is better), but one in twenty anything from 0 to 1,
// since sowings fail (without these, where 3 of 100 were up late, at least 8 % were said to come); ρ
// exponential with mean 0.06; spread half-normal with scale 0.12 (at 85 %: trays 1.5 points apart); courses
// as timing.h weighs them. They decide only where the counts are silent: one seed a cell says nothing of ρ,
// and one tray nothing of the spread.
//
// Plain intervals for one p are too narrow for a decision: what the next tray does depends on all of these.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calibration/interval.h"
#include "calibration/sower.h"
#include "calibration/timing.h"

namespace braird {

/// A counted tray of the present sowing.
struct SeenTray {
  int seeds = 1;                   ///< a cell the sower was set to
  std::vector<double> cells_with;  ///< [k]: how many cells show k seedlings
};

/// A finished sowing, trial or statement: only its totals are known.
struct PastSowing {
  double seedlings = 0, seeds = 0;  ///< seeds > 0; more seedlings than seeds count as all
  int seeds_per_cell = 1;           ///< that share a fate
};

struct LotEvidence {
  std::vector<SeenTray> trays;  ///< all counted on `day`
  std::optional<double> day;    ///< since sowing; needed if there are timings
  std::vector<Timing> timings;  ///< empty: all that will come is taken to be up
  std::vector<PastSowing> earlier;
  Sower sower;
  double worth = 1;    ///< what a tray's cell tells, against one counted by hand: above 0, at most 1
  bool ahead = false;  ///< more is up than the table allows at the temperature told, or at all
};

/// One way the lot may be.
struct LotChance {
  double weight = 0;  ///< all sum to 1
  double mean = 0;    ///< germination p_lot
  double spread = 0;  ///< between trays, standard deviation of the logit
  double rho = 0;     ///< between seeds of a cell
};

/// What is left open about a counted tray's own germination: normal on the logit scale.
struct TrayLogit {
  double mean = 0, spread = 0;
};

/// One way the counted trays may go on.
struct StandChance {
  double weight = 0;  ///< all sum to 1
  double rho = 0;
  Timing timing;
  std::vector<TrayLogit> trays;  ///< in the order of the evidence
};

struct Belief {
  std::vector<LotChance> lot;
  std::vector<StandChance> stand;  ///< empty without counted trays
  Estimate germination;            ///< p_lot with its 95 % range
  double log_evidence = 0;         ///< ln chance of all counts; compares sowers on the same counts
};

/// Throws std::invalid_argument with one sentence for negative numbers, or timings without a day.
Belief believe(const LotEvidence& evidence);

/// The counted trays' courses, weighed.
std::vector<Timing> courses_of(const Belief& belief);

/// The sower with as many doubles as best explain cells that hold more seedlings than it was set to; as told
/// where there are none, or where doubles were told.
Sower fitted_sower(const LotEvidence& evidence);

/// A warmer or colder bench: the germination multiplied by `factor` ≥ 0, and raised to no more than `most`.
double scaled(double germination, double factor, double most = 1);
std::vector<LotChance> scaled(std::vector<LotChance> lot, double factor, double most = 1);

/// A share and its weight: normal doubt on the logit scale, as three points (Gauss-Hermite).
struct WeightedShare {
  double weight = 0, share = 0;
};
std::vector<WeightedShare> shares_around(double logit, double spread);

/// ln(share / (1 − share)); share in (0, 1).
double logit(double share);

}  // namespace braird
