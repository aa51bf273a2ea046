// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/fair_trays.h"

#include <algorithm>
#include <cmath>

#include "calibration/advice.h"
#include "calibration/ledger/lot_rates.h"
#include "calibration/ledger/lot_summary.h"

namespace braird::ledger {
namespace {

bool is_doubtful(const KeptCensus& census) {
  Evidence seen;
  seen.summary = summarise(counted_by_all(census));
  seen.fit = census.tray.fit;
  return advise(seen).action == Action::look_at_picture;
}

}  // namespace

int telling_day(const std::optional<std::string>& crop) {
  return latest_telling_day(crop ? find_crop(built_in_profiles(), *crop) : nullptr);
}

int age_of(const KeptTray& tray, const SowingFacts& sowing, int telling) {
  const auto day = day_of(tray.censuses.back().taken, sowing.sown_on);
  return day ? std::min(static_cast<int>(*day), telling) : telling;
}

KeptSowing fair_trays(const KeptSowing& sowing, int age, int telling) {
  KeptSowing fair{sowing.id, sowing.facts, {}};
  for (const KeptTray* tray : telling_trays(sowing))
    if (age_of(*tray, sowing.facts, telling) == age && !is_doubtful(tray->censuses.back()))
      fair.trays.push_back({tray->id, tray->tag, {tray->censuses.back()}});
  return fair;
}

}  // namespace braird::ledger
