// SPDX-License-Identifier: Apache-2.0
// What came up of this lot, how sure is that, and what stands out? The whole of the statistics over one lot;
// what `braird rate` prints.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "calibration/emergence_fit.h"
#include "calibration/gaps.h"
#include "calibration/germination_times.h"
#include "calibration/interval.h"
#include "calibration/lot.h"
#include "calibration/standards.h"

namespace braird {

/// How strongly seeds share a fate (overdispersion.h), between cells or, without cells, between replicates.
struct Overdispersion {
  std::string_view unit = "cells";
  double rho = 0, rho_error = 0;
  std::optional<double> tarone_z;  ///< nothing where it can't be told, as with one seed a cell
  double log_likelihood = 0, binomial_log_likelihood = 0;
  double design_effect = 1;
};

struct TimeCourse {
  double first_look = 0;  ///< day of the first inspection; of what came before only that is known
  std::optional<GerminationTimes> times;  ///< nothing where no seed came up
  Estimate final_rate;                    ///< forecast (in_the_end.h)
  std::optional<EmergenceFit> fit;
};

/// A cell worth checking by hand.
struct PlaceToCheck {
  std::string tray;
  int row = 0, col = 0;  ///< from 0
  std::string place;     ///< "row 3, column 7"
};

struct LotReport {
  std::string name;
  int trays = 0, cells = 0, empty = 0;
  double sown = 0, seedlings = 0;                ///< as hard counts
  int surplus = 0;                               ///< of single seeds, seedlings more than seeds in a cell
  std::optional<Estimate> germination_rate;      ///< nothing where the number of seeds is unknown
  std::optional<Estimate> gap_rate;              ///< nothing where no cells were counted
  std::optional<Overdispersion> overdispersion;  ///< nothing for a single cell or replicate
  std::optional<GapExplanation> gaps;
  std::vector<Finding> findings;
  std::optional<TimeCourse> time_course;
  std::vector<PlaceToCheck> check_next;        ///< at most five
  std::optional<ReplicateVerdict> replicates;  ///< of 2 or 4 replicates of 100 seeds
  std::optional<double> last_day;              ///< since sowing, where known
  bool seeds_known = true;                     ///< false: `sown` counts cells
  std::vector<std::string> remarks;
};

/// Throws std::invalid_argument with one sentence if the lot contradicts itself or holds nothing.
LotReport report_on(const Lot& lot);

/// One ρ for several lots, each with its own mean: cells of a lot, or its replicates, as the unit. Nothing
/// for fewer than two lots, where one has no counts fit for it, or where all have a single unit.
std::optional<Overdispersion> overdispersion_across(std::span<const Lot> lots);

}  // namespace braird
