// SPDX-License-Identifier: Apache-2.0
// What should the grower do: about the trays that stand there, about the next batch, about the seed?
//
// Joins what the other headers answer: belief.h (what may be true), tray_options.h (these trays),
// next_batch.h (seeds a cell), bed_plan.h (how much to sow), suspects.h (is it the lot). Plain structs in and
// out: a command, or whatever remembers lots, fills the request.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calibration/advice.h"
#include "calibration/bed_plan.h"
#include "calibration/lot_report.h"
#include "calibration/next_batch.h"
#include "calibration/suspects.h"
#include "calibration/tray_options.h"

namespace braird {

struct AdviceRequest {
  std::optional<Lot> lot;    ///< the present sowing; nothing: only the pack and earlier sowings speak
  std::vector<Lot> earlier;  ///< the same lot's earlier sowings, all up
  const CropProfile* crop = nullptr;
  double fit = 1;  ///< least chance that a tray's cells were found in their places
  int review = 0;  ///< cells that the counter is unsure of
  Sower sower;
  bool missed_told = false;      ///< the sower's missed cells are known, be they none
  std::optional<Wanted> wanted;  ///< else from the seeds usually sown, or fewer if these were
  std::optional<int> cells_per_tray;
  std::optional<int> need;                 ///< full cells for the bed
  std::optional<double> day;               ///< of the count, since sowing; goes before the lot's own
  bool sown_told = false;                  ///< the day of sowing is known, be that of the count or not
  std::optional<double> days_to_planting;  ///< from the count
  std::optional<double> temperature,
      next_temperature;                ///< of the medium, °C; without a lot, both are the next batch's
  std::optional<double> pack_percent;  ///< stated germination, above 0, at most 100
  std::optional<Storage> stored;       ///< since the pack's test
  std::vector<Pack> packs;
  Economy economy = built_in_economy();
  bool prices_told = false;  ///< some price or time is the grower's own: choose by cost
};

/// Who put the first choice first?
enum class RankedBy { rule, cost };

struct StandAdvice {
  TrayOptions choices;           ///< best first
  bool first_is_advised = true;  ///< false: what is to be done is none of the choices
  Advice rule;                   ///< what `count` says of the same cells
  RankedBy ranked_by = RankedBy::cost;
  int need = 0;
  bool too_poor = false;             ///< the lot, to be sown again
  bool too_early = false;            ///< so much is still to come that the lot isn't judged yet
  std::vector<std::string> changes;  ///< what would put another choice first, where ranked by cost
};

struct AdviceReport {
  std::string lot, crop;  ///< empty if not known
  Wanted wanted;
  Sower sower;  ///< as told, or as the counts suggest
  Economy economy;
  std::optional<double> day;
  std::optional<LotReport> seen;  ///< nothing without counts
  Estimate in_the_end;       ///< seedlings a seed once all are up; with counted trays, as these alone show it
  double still_to_come = 0;  ///< likewise: share of what will come that is not up, 0..1
  std::optional<StandAdvice> stand;
  BatchAdvice batch;
  std::optional<double> warmth;     ///< factor put on germination for the next batch
  bool next_without_trays = false;  ///< so few come up on this bench that its trays tell nothing of another
  std::optional<int> need;          ///< as asked
  std::optional<SowingPlan> sowing;
  std::string no_sowing;  ///< why there is none, where a need was told
  SeedOrder order;
  std::vector<Suspicion> suspicions;
  std::vector<std::string> remarks;  ///< whole sentences
};

/// Throws std::invalid_argument with one sentence for a request that makes no sense.
AdviceReport advise_on(const AdviceRequest& asked);

}  // namespace braird
