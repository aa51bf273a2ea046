// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/fair_trays.h"

#include <algorithm>
#include <cmath>

#include "calibration/advice.h"
#include "calibration/in_the_end.h"
#include "calibration/ledger/lot_rates.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/ledger/tray_course.h"

namespace braird::ledger {
namespace {

bool is_doubtful(const KeptCensus& census) {
  Evidence seen;
  seen.summary = summed_by_all(census);
  seen.fit = census.tray.fit;
  return advise(seen).action == Action::look_at_picture;
}

bool still_rises(const KeptTray& tray, const SowingFacts& sowing) {
  const auto course = course_of(tray, sowing);
  return course && braird::still_rises(course->emergence);
}

// As the rates take it: a cluster germinates with its first seedling.
int came_up(const KeptCensus& census) {
  const TraySummary sum = summed_by_all(census);
  return seed_kind(census.tray.crop) == SeedKind::cluster ? sum.cells - sum.empty : sum.seedlings;
}

// The latest photo, unless an earlier one shows clearly more.
const KeptCensus& photo_to_judge_by(const KeptTray& tray) {
  constexpr double clearly = 0.1;  // common practice, no source
  const KeptCensus &latest = tray.censuses.back(),
                   &fullest = *std::ranges::max_element(tray.censuses, {}, came_up);
  return came_up(latest) < (1 - clearly) * came_up(fullest) ? fullest : latest;
}

}  // namespace

int telling_day(const std::optional<std::string>& crop) {
  return latest_telling_day(crop ? find_crop(built_in_profiles(), *crop) : nullptr);
}

int age_of(const KeptTray& tray, const SowingFacts& sowing, int telling) {
  const auto day = age_when_seen(tray.censuses.back(), sowing);
  return day ? std::min(static_cast<int>(*day), telling) : telling;
}

KeptSowing fair_trays(const KeptSowing& sowing, int age, int telling) {
  KeptSowing fair{sowing.id, sowing.facts, {}};
  for (const KeptTray* tray : telling_trays(sowing)) {
    if (age_of(*tray, sowing.facts, telling) != age || still_rises(*tray, sowing.facts)) continue;
    if (const KeptCensus& photo = photo_to_judge_by(*tray); !is_doubtful(photo))
      fair.trays.push_back({tray->id, tray->tag, {photo}});
  }
  return fair;
}

}  // namespace braird::ledger
