// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <optional>
#include <utility>

#include "calibration/finding_words.h"
#include "calibration/findings.h"
#include "calibration/gap_map.h"
#include "calibration/multiple_tests.h"
#include "calibration/require.h"

namespace braird {
namespace {

std::vector<GapMap> same_layout(std::span<const TrayMap> trays) {
  std::vector<GapMap> alike;
  const Layout& first = trays[0].layout;
  for (const TrayMap& tray : trays)
    if (tray.layout.rows == first.rows && tray.layout.cols == first.cols &&
        tray.layout.lattice == first.lattice)
      alike.push_back(gap_map(tray));
  return alike;
}

// [k] = chance that a place is empty in exactly k trays with these gap rates (Poisson-binomial).
std::vector<double> times_empty(const std::vector<double>& gap_rates) {
  std::vector<double> chances = {1};
  for (const double rate : gap_rates) {
    chances.push_back(0);
    for (std::size_t k = chances.size() - 1; k > 0; --k)
      chances[k] = chances[k] * (1 - rate) + chances[k - 1] * rate;
    chances[0] *= 1 - rate;
  }
  return chances;
}

struct Place {
  int empty = 0;
  double expected = 0;
  std::vector<double> gap_rates;  // of the trays in which the place was sown
};

Place place_in(const std::vector<GapMap>& trays, int at) {
  Place place;
  for (const GapMap& gaps : trays) {
    const int label = gaps.labels[static_cast<std::size_t>(at)];
    if (label < 0) continue;
    place.gap_rates.push_back(static_cast<double>(gaps.empty) / gaps.cells);
    place.expected += place.gap_rates.back();
    place.empty += label;
  }
  return place;
}

double chance_of_as_often(const Place& place) {
  const auto chances = times_empty(place.gap_rates);
  double sum = 0;
  for (std::size_t k = static_cast<std::size_t>(place.empty); k < chances.size(); ++k) sum += chances[k];
  return std::min(1.0, sum);
}

Finding place_finding(const Place& place, std::string name) {
  Finding finding;
  finding.kind = FindingKind::repeated_place;
  finding.sentence =
      repeated_sentence(name, place.empty, static_cast<int>(place.gap_rates.size()), place.expected);
  finding.place = std::move(name);
  finding.p_value = chance_of_as_often(place);
  return finding;
}

}  // namespace

std::vector<Finding> find_repeated_places(std::span<const TrayMap> trays, double level) {
  require(level > 0 && level < 1, "level", level, "between 0 and 1");
  if (trays.size() < 2) return {};
  const auto alike = same_layout(trays);
  if (alike.size() < 2) return {};
  std::vector<Finding> looks;
  for (int at = 0; at < std::ssize(alike[0].labels); ++at) {
    looks.push_back(place_finding(place_in(alike, at), place_name(trays[0], at)));
    looks.back().cells = {at};
  }
  return adjusted_below(std::move(looks), false_discovery_rate, level);
}

}  // namespace braird
