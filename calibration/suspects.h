// SPDX-License-Identifier: Apache-2.0
// Is it the lot? Or the heat, the age, the sower, a dry edge or patch, or is it just too early?
//
// Each suspect is held against what speaks for and against it, and none is named with more weight than its
// evidence has: an interval that reaches the suspect's claim leaves it open. Causes can't be told apart by
// counts alone, so the strongest word is "likely".
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calibration/interval.h"
#include "calibration/lot_report.h"
#include "calibration/viability.h"

namespace braird {

/// How strongly the evidence points at a suspect.
enum class Suspected { likely, possible, open, unlikely };
/// "likely", "possible", "open" or "unlikely".
const char* name_of(Suspected weight);

struct Suspicion {
  std::string suspect;  ///< "timing", "lot", "pack", "age", "minimum", "heat", "sower", "edge", "patch"
  Suspected weight = Suspected::open;
  std::string sentence;
};

/// Is so much of what will come not up yet that a rate says little of the seed? `still_to_come` in 0..1.
bool is_early(double still_to_come);

/// What is known beside the counts.
struct LotQuestion {
  LotReport report;                       ///< of the present sowing
  bool counted = true;                    ///< false: nothing is sown or counted yet, earlier sowings speak
  std::string crop;                       ///< by its name in the list; empty: not known
  Estimate in_the_end;                    ///< of this sowing once all are up, as believed (belief.h)
  double still_to_come = 0;               ///< share of what will come that is not up yet, 0..1
  std::optional<int> judge_on;            ///< before the crop's telling day (advice.h): that day
  std::optional<Estimate> earlier;        ///< rate of the lot's earlier sowings
  std::optional<double> pack_percent;     ///< the pack's stated germination
  std::optional<Storage> stored;          ///< since the pack's test
  std::optional<double> minimum_percent;  ///< the legal minimum for seed on sale
  std::optional<double> temperature;      ///< of the medium, °C
};

/// The likely first. Only suspects that something is known of.
std::vector<Suspicion> question_lot(const LotQuestion& question);

}  // namespace braird
