// SPDX-License-Identifier: Apache-2.0
// How good is a lot, over all its sowings; is it getting worse; is it what its pack says?
//
// A tray's figures are those of its latest photo; earlier ones serve its time course (tray_course.h). A photo
// that shows next to nothing up (under a tenth of the cells) and no tag, at an age at which more may come,
// may be of any tray of its sowing; it is left out, and said to be, once the sowing has later photos. So are,
// from the lot's rates alone, trays far younger than its oldest (young_trays.h). Rates
// are pooled over trays by the statistics' own functions (pooled_germination_rate, pooled_gap_rate in
// rates.h), with cells counted by hand as a person counted them. Once at least eight cells drawn at random
// were checked for the lot's crop and a tray's shape and number of seeds, anywhere in the ledger, the other
// cells of such trays are corrected by what those turned out to hold (checked_cells.h): by the lot's own,
// where these are eight.
#pragma once

#include <algorithm>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "calibration/interval.h"
#include "calibration/ledger/history.h"
#include "calibration/lot.h"

namespace braird::ledger {

struct Tally {
  int trays = 0, photos = 0, cells = 0, empty = 0, seedlings = 0;
  double seeds = 0;      ///< 0: not known
  int hand_checked = 0;  ///< cells
  int left_out = 0;      ///< photos that may show any tray
};

struct SowingSummary {
  SowingFacts facts;
  Tally tally;
  std::optional<Estimate> germination, gaps;
  int error_checks = 0;                ///< cells by which the rates are corrected; 0: they are not
  std::optional<double> last_day;      ///< of the latest photo, since sowing
  std::optional<double> t50;           ///< days; of trays photographed before it and after
  std::optional<Estimate> in_the_end;  ///< germination forecast from the time courses (in_the_end.h)
  bool still_rising = false;           ///< so that no forecast can be made
  std::optional<int> pack_age_days;    ///< from the pack's test to the sowing
};

/// Those sown last: all of the latest date, in whatever trays. `sowings` (KeptSowing, SowingSummary) by date.
template <typename Sowings>
auto sown_last(const Sowings& sowings) {
  const auto on = [](const auto& sowing) { return sowing.facts.sown_on; };
  auto first = sowings.end();
  if (!sowings.empty()) first = std::ranges::find(sowings, on(sowings.back()), on);
  return std::span(first, sowings.end());
}

struct LotSummary {
  LotFacts facts;
  Tally tally;
  std::optional<Estimate> germination;  ///< nothing without the number of seeds, or without photos
  std::optional<Estimate> gaps;
  int too_young = 0;                   ///< trays that the rates leave out (young_trays.h)
  int error_checks = 0;                ///< likewise of all sowings whose rates are corrected
  std::vector<SowingSummary> sowings;  ///< by date
  /// The latest sowing's germination less the earlier ones', at its age; of two trays each.
  std::optional<Estimate> trend;
  std::optional<int> legal_minimum_percent;
  std::vector<std::string> suspicions;  ///< what speaks against the lot, the gravest first; whole sentences
};

/// The lot as the statistics know it, each tray by its latest photo; its checked cells only if they are
/// enough for a correction.
Lot as_lot(const KeptLot& kept);

/// Likewise of some of its sowings.
Lot as_lot(const KeptLot& kept, std::span<const KeptSowing> sowings);

/// What is held against pack and law: the germination of the trays that may be (fair_trays.h). A seed cluster
/// germinates with its first seedling.
struct Judged {
  Estimate rate;
  bool all_trays = true;
  bool died_back = false;  ///< some by a photo before that
  bool clusters = false;
};

/// What speaks against the lot.
std::vector<std::string> suspicions_of(const LotSummary& summary, const std::optional<Judged>& judged);

LotSummary summarise(const Ledger& ledger, const KeptLot& kept);

/// On how many days was it sown?
int days_of_sowing(const LotSummary& lot);

/// All lots within the filter, those with suspicions first, then by their germination's lower limit. Figures
/// of whole lots are kept in the ledger if it can be written, so that asking again costs nothing.
std::vector<LotSummary> season(Ledger& ledger, const Filter& filter);

/// The crops of the ledger's lots, by name.
std::vector<std::string> crops_kept(const Ledger& ledger);

/// Days from sowing, at midnight, to the photo; nothing if either is unknown or the photo came first.
std::optional<double> day_of(const std::optional<std::string>& taken,
                             const std::optional<std::string>& sown_on);

}  // namespace braird::ledger
