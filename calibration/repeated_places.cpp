// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <set>
#include <utility>

#include "calibration/finding_words.h"
#include "calibration/findings.h"
#include "calibration/gap_map.h"
#include "calibration/multiple_tests.h"
#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kSureEdge = 0.01;

struct EdgedTray {
  GapMap gaps;
  Part edge;
};

// Trays of one layout.
struct Group {
  const TrayMap* first = nullptr;
  std::vector<EdgedTray> trays;
  std::set<std::vector<int>> regions;  // that stand out in one tray or more, as places
};

bool is_region(const Finding& finding) {
  return finding.kind == FindingKind::edge || finding.kind == FindingKind::corner ||
         finding.kind == FindingKind::row || finding.kind == FindingKind::column;
}

// The tray, and its edge as the part.
Part edge_of(const GapMap& gaps) {
  Part edge{gaps.cells, gaps.empty, 0, 0};
  for (int at = 0; at < std::ssize(gaps.labels); ++at) {
    const int label = gaps.labels[static_cast<std::size_t>(at)];
    if (label < 0 || !is_at_edge(gaps.layout, at)) continue;
    ++edge.part_cells;
    edge.part_empty += label;
  }
  return edge;
}

std::vector<Group> by_layout(std::span<const TrayMap> trays) {
  std::vector<Group> groups;
  for (const TrayMap& tray : trays) {
    auto group =
        std::ranges::find_if(groups, [&](const Group& other) { return other.first->layout == tray.layout; });
    if (group == groups.end()) group = groups.insert(groups.end(), {&tray, {}, {}});
    GapMap gaps = gap_map(tray);
    const Part edge = edge_of(gaps);
    group->trays.push_back({std::move(gaps), edge});
    for (Finding& finding : find_patterns(tray))
      if (is_region(finding)) group->regions.insert(std::move(finding.cells));
  }
  return groups;
}

bool edge_stands_out(const std::vector<EdgedTray>& trays) {
  Part sum;
  for (const auto& [gaps, edge] : trays) {
    sum.cells += edge.cells, sum.empty += edge.empty;
    sum.part_cells += edge.part_cells, sum.part_empty += edge.part_empty;
  }
  return std::min(chance_of_more(sum), chance_of_fewer(sum)) < kSureEdge;
}

double share(int empty, int cells) {
  return cells > 0 ? static_cast<double>(empty) / cells : 0;
}

// The gap rate that a place is held against: the whole tray's, or that of its edge or of its middle.
double rate_around(const EdgedTray& tray, int at, bool by_edge) {
  const auto& [gaps, edge] = tray;
  if (!by_edge) return share(gaps.empty, gaps.cells);
  return is_at_edge(gaps.layout, at) ? share(edge.part_empty, edge.part_cells)
                                     : share(edge.empty - edge.part_empty, edge.cells - edge.part_cells);
}

double share_in(const GapMap& gaps, const std::vector<int>& region) {
  int cells = 0, empty = 0;
  for (const int at : region) {
    const int label = gaps.labels[static_cast<std::size_t>(at)];
    cells += label >= 0;
    empty += label > 0;
  }
  return share(empty, cells);
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

// A corner, line or edge that suffers, in any tray, is what its places are held against: it jams no hole.
std::vector<double> rates_around(const Group& group, const EdgedTray& tray, bool by_edge) {
  std::vector<double> rates;
  rates.reserve(tray.gaps.labels.size());
  for (int at = 0; at < std::ssize(tray.gaps.labels); ++at) rates.push_back(rate_around(tray, at, by_edge));
  for (const std::vector<int>& region : group.regions) {
    const double share = share_in(tray.gaps, region);
    for (const int at : region) {
      double& rate = rates[static_cast<std::size_t>(at)];
      rate = std::max(rate, share);
    }
  }
  return rates;
}

std::vector<Place> places_in(const Group& group, bool by_edge) {
  std::vector<Place> places(number_of_cells(group.first->layout));
  for (const EdgedTray& tray : group.trays) {
    const std::vector<double> rates = rates_around(group, tray, by_edge);
    for (std::size_t at = 0; at < places.size(); ++at) {
      const int label = tray.gaps.labels[at];
      if (label < 0) continue;
      places[at].gap_rates.push_back(rates[at]);
      places[at].expected += rates[at];
      places[at].empty += label;
    }
  }
  return places;
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
  std::vector<Finding> looks;
  const auto groups = by_layout(trays);
  for (const Group& group : groups) {
    if (group.trays.size() < 2) continue;
    const Layout& layout = group.first->layout;
    const std::vector<Place> places = places_in(group, edge_stands_out(group.trays));
    for (int at = 0; at < std::ssize(places); ++at) {
      std::string name = place_name(*group.first, at);
      if (groups.size() > 1) name += fmt::format(" (of {} × {} cells)", layout.rows, layout.cols);
      looks.push_back(place_finding(places[static_cast<std::size_t>(at)], std::move(name)));
      looks.back().cells = {at};
      looks.back().layout = layout;
    }
  }
  return adjusted_below(std::move(looks), false_discovery_rate, level);
}

}  // namespace braird
