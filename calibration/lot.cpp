// SPDX-License-Identifier: Apache-2.0
#include "calibration/lot.h"

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace braird {

void join(Lot& to, Lot more) {
  if (to.course || more.course || to.replicates.empty() != more.replicates.empty())
    throw std::invalid_argument("lot " + to.name + " was counted in an earlier file in another way");
  for (CheckedPlace& place : more.checked) place.tray += to.trays.size();
  const auto append = [](auto& list, auto& rest) { list.insert(list.end(), rest.begin(), rest.end()); };
  append(to.trays, more.trays);
  append(to.readings, more.readings);
  append(to.checked, more.checked);
  append(to.replicates, more.replicates);
  append(to.remarks, more.remarks);
  if (more.last_day) to.last_day = std::min(*more.last_day, to.last_day.value_or(*more.last_day));
  if (more.seed == SeedKind::cluster) to.seed = SeedKind::cluster;
  to.seeds_known = to.seeds_known && more.seeds_known;
}

}  // namespace braird
