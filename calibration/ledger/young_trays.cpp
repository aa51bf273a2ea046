// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/young_trays.h"

#include <algorithm>

#include "calibration/ledger/lot_rates.h"
#include "calibration/profiles.h"
#include "calibration/timing.h"

namespace braird::ledger {
namespace {

constexpr double kAlike = 0.9;  // common practice, no source

/// Of what will come, at the age at which the tray was seen last; 1 where that isn't known.
double share_up_in(const KeptTray& tray, const SowingFacts& sowing, const std::vector<Timing>& courses) {
  const auto age = age_when_seen(tray.censuses.back(), sowing);
  return age && !courses.empty() ? share_up(courses, *age) : 1;
}

struct Aged {
  const KeptTray* tray;
  double share_up;
};

std::vector<Aged> aged_trays(const KeptSowing& sowing, const CropProfile& crop) {
  const std::vector<Timing> courses = timings_of(crop, sowing.facts.temperature_c);
  std::vector<Aged> trays;
  for (const KeptTray* tray : telling_trays(sowing))
    trays.push_back({tray, share_up_in(*tray, sowing.facts, courses)});
  return trays;
}

}  // namespace

std::optional<std::vector<KeptSowing>> without_young(const KeptLot& kept) {
  const CropProfile* crop = kept.facts.crop ? find_crop(built_in_profiles(), *kept.facts.crop) : nullptr;
  if (!crop) return std::nullopt;
  std::vector<std::vector<Aged>> trays;
  double oldest = 0;
  for (const KeptSowing& sowing : kept.sowings)
    for (const Aged& tray : trays.emplace_back(aged_trays(sowing, *crop)))
      oldest = std::max(oldest, tray.share_up);
  const auto is_young = [&](const Aged& tray) { return tray.share_up < kAlike * oldest; };
  if (std::ranges::none_of(trays, [&](const auto& aged) { return std::ranges::any_of(aged, is_young); }))
    return std::nullopt;
  std::vector<KeptSowing> older;
  for (std::size_t at = 0; at < trays.size(); ++at) {
    KeptSowing& sowing = older.emplace_back(KeptSowing{kept.sowings[at].id, kept.sowings[at].facts, {}});
    for (const Aged& tray : trays[at])
      if (!is_young(tray)) sowing.trays.push_back(*tray.tray);
  }
  return older;
}

}  // namespace braird::ledger
