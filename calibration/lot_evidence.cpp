// SPDX-License-Identifier: Apache-2.0
#include "calibration/lot_evidence.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <set>
#include <utility>

#include "calibration/checked_cells.h"
#include "calibration/counter_doubt.h"
#include "calibration/emergence_fit.h"
#include "calibration/empty_cells.h"
#include "calibration/findings.h"
#include "calibration/grower_advice.h"
#include "calibration/rates.h"
#include "calibration/seen_trays.h"
#include "calibration/telling_findings.h"

namespace braird {
namespace {

// Daily counts are worth as many seeds as their forecast is sure.
void add_forecast(std::vector<PastSowing>& past, const Inspections& course, const CropProfile* crop) {
  if (came_to_nothing(course, crop)) return past.push_back({0, course.sown, 1});
  const Estimate end = forecast_final_rate(course);
  if (const auto sample = wilson_sample({end.low, end.high})) past.push_back({sample->count, sample->n, 1});
}

// A seed gives one plant, unless it is a cluster (cells.h).
int germinated(const CellCount& cell, SeedKind kind) {
  return kind == SeedKind::single ? std::min(cell.seedlings, cell.seeds) : cell.seedlings;
}

// `of_cluster`: the seedlings that one cluster may give.
void add_past(std::vector<PastSowing>& past, const Lot& lot, const CropProfile* crop, double of_cluster) {
  const double of_seed = lot.seed == SeedKind::cluster ? of_cluster : 1;
  for (const TrayMap& tray : lot.trays) {
    PastSowing sowing{0, 0, 1};
    for (const CellCount& cell : tray.cells) {
      const double seeds = of_seed * cell.seeds;
      sowing.seedlings += std::min<double>(cell.seedlings, seeds);
      sowing.seeds += seeds;
      sowing.seeds_per_cell = std::max(sowing.seeds_per_cell, static_cast<int>(std::lround(seeds)));
    }
    if (sowing.seeds > 0) past.push_back(sowing);
  }
  for (const CellCount& replicate : lot.replicates) {
    const double seeds = of_seed * replicate.seeds;
    past.push_back({std::min<double>(replicate.seedlings, seeds), seeds, 1});
  }
  if (lot.trays.empty() && lot.replicates.empty() && lot.course) add_forecast(past, *lot.course, crop);
}

// Clusters are taken for seeds that come double; as many as the cells of all sowings show.
Sower with_clusters(const AdviceRequest& request) {
  LotEvidence clusters;
  clusters.sower = request.sower;
  const auto add = [&](const Lot& lot) {
    if (lot.seed != SeedKind::cluster) return;
    clusters.sower.clusters = true;
    const auto trays = seen_trays(lot);
    clusters.trays.insert(clusters.trays.end(), trays.begin(), trays.end());
  };
  std::ranges::for_each(request.earlier, add);
  const bool only_now = clusters.trays.empty();
  if (request.lot) add(*request.lot);
  return only_now ? clusters.sower : fitted_sower(clusters);
}

// An empty outermost line of a photo may be none of the tray (findings.h).
bool may_be_no_line(const TrayMap& tray, const Finding& line) {
  const bool is_row = line.kind == FindingKind::row;
  const int cell = line.cells.front(), at = is_row ? cell / tray.layout.cols : cell % tray.layout.cols;
  return tray.from_photo && (at == 0 || at + 1 == (is_row ? tray.layout.rows : tray.layout.cols));
}

bool is_sower_line(const TrayMap& tray, const Finding& line) {
  return (line.kind == FindingKind::row || line.kind == FindingKind::column) && !line.cells.empty() &&
         !may_be_no_line(tray, line) && std::ranges::all_of(line.cells, [&](int cell) {
           return tray.cells[static_cast<std::size_t>(cell)].seedlings == 0;
         });
}

// Which cells got no seed, as far as the gaps' places tell: holes that stay empty in tray after tray, and
// rows or columns without a single seedling.
std::set<std::pair<std::size_t, int>> unsown_by_place(const Lot& lot) {
  std::set<std::pair<std::size_t, int>> unsown;
  auto add_empty = [&](std::size_t tray, const std::vector<int>& cells) {
    for (const int cell : cells) {
      const auto at = static_cast<std::size_t>(cell);
      const auto& of = lot.trays[tray].cells;
      if (at < of.size() && of[at].seeds > 0 && of[at].seedlings == 0) unsown.insert({tray, cell});
    }
  };
  for (const Finding& hole : find_repeated_places(lot.trays))
    for (std::size_t tray = 0; tray < lot.trays.size(); ++tray)
      if (lot.trays[tray].layout == hole.layout) add_empty(tray, hole.cells);
  for (std::size_t tray = 0; tray < lot.trays.size(); ++tray)
    for (const Finding& line : find_patterns(lot.trays[tray]))
      if (is_sower_line(lot.trays[tray], line)) add_empty(tray, line.cells);
  return unsown;
}

std::vector<std::vector<CellCount>> counted_trays(const Lot& lot) {
  const std::vector<CellCount> cells = counted_cells(lot);
  std::vector<std::vector<CellCount>> trays;
  auto from = cells.begin();
  for (const TrayMap& tray : lot.trays) {
    const auto to = from + std::ssize(tray.cells);
    trays.emplace_back(from, to);
    from = to;
  }
  return trays;
}

GapContext what_is_known(const Lot& lot) {
  std::vector<Finding> patterns;
  for (const TrayMap& tray : lot.trays) std::ranges::move(find_patterns(tray), std::back_inserter(patterns));
  return {doubted_gaps(checked_trays(lot).trays), lie_together(patterns, static_cast<int>(lot.trays.size()))};
}

// The share of cells that the sower missed, as the counts show it.
double missed_share(const Lot& lot) {
  const std::vector<CellCount> cells = counted_cells(lot);
  const GapExplanation gaps = explain_gaps(counted_trays(lot), what_is_known(lot));
  if (gaps.cause == GapCause::missed_cells) return gaps.missed;
  const auto sown = std::ranges::count_if(cells, [](const CellCount& cell) { return cell.seeds > 0; });
  return sown > 0 ? static_cast<double>(unsown_by_place(lot).size()) / static_cast<double>(sown) : 0;
}

bool allow(const std::vector<Timing>& timings, double day, double share_up) {
  return timings.empty() ||
         std::ranges::any_of(timings, [&](const Timing& timing) { return timing.share_up(day) >= share_up; });
}

// Courses by the table. Where even the quickest is too slow for what is up, temperature or date are wrong.
void add_timings(LotEvidence& evidence, const AdviceRequest& request) {
  if (!evidence.day || !request.crop) return;
  double up = 0, seeds = 0;
  for (const CellCount& cell : counted_cells(*request.lot)) {
    up += std::min(cell.seedlings, cell.seeds);
    seeds += cell.seeds;
  }
  const double share = seeds > 0 ? up / seeds : 0;
  evidence.timings = timings_of(*request.crop, request.temperature);
  if (allow(evidence.timings, *evidence.day, share)) return;
  evidence.ahead = true;
  if (request.temperature) evidence.timings = timings_of(*request.crop, std::nullopt);
}

double pack_germination(const AdviceRequest& request) {
  const double stated = *request.pack_percent / 100;
  if (!request.stored || !request.crop) return stated;
  return aged_germination(request.crop->name, std::clamp(stated, .01, .99), *request.stored).value_or(stated);
}

}  // namespace

LotEvidence lot_evidence(const AdviceRequest& request) {
  LotEvidence evidence;
  evidence.sower = with_clusters(request);
  const double of_cluster = most_of_a_seed(evidence.sower);
  for (const Lot& lot : request.earlier) add_past(evidence.earlier, lot, request.crop, of_cluster);
  if (request.pack_percent && request.economy.pack_worth_seeds > 0)
    evidence.earlier.push_back(
        {pack_germination(request) * request.economy.pack_worth_seeds, request.economy.pack_worth_seeds, 1});
  if (!request.lot) return evidence;
  const Lot& lot = *request.lot;
  if (lot.trays.empty()) add_past(evidence.earlier, lot, request.crop, of_cluster);
  evidence.trays = seen_trays(lot);
  evidence.worth = worth_of_a_cell(lot);
  evidence.day = request.day ? request.day : lot.last_day;
  if (evidence.trays.empty()) return evidence;
  add_timings(evidence, request);
  if (evidence.day && lot.course)
    evidence.timings = weighed_by(evidence.timings, *lot.course, design_effect(counted_cells(lot)));
  if (!request.missed_told && evidence.sower.missed == 0) evidence.sower.missed = missed_share(lot);
  evidence.sower = fitted_sower(evidence);
  return evidence;
}

Evidence evidence_for_rule(const Lot& lot, const CropProfile* crop, std::optional<double> day, double fit,
                           int review) {
  const std::vector<CellCount> cells = counted_cells(lot);
  Evidence evidence;
  for (const CellCount& cell : cells) {
    if (cell.seeds == 0) continue;
    ++evidence.summary.cells;
    evidence.summary.seedlings += cell.seedlings;
    evidence.summary.empty += state_of(cell.seedlings) == CellState::empty;
    evidence.summary.single += state_of(cell.seedlings) == CellState::single;
    evidence.summary.multiple += state_of(cell.seedlings) == CellState::multiple;
  }
  evidence.summary.review = review;
  evidence.fit = fit;
  evidence.gaps = lot.checked.empty() ? pooled_gap_rate(lot.readings) : checked_gap_rate(lot);
  evidence.germination =
      lot.checked.empty() ? pooled_germination_rate(lot.readings) : checked_germination_rate(lot);
  if (lot.seed == SeedKind::cluster) evidence.alive = clusters_alive(evidence.gaps, most_seeds(lot));
  evidence.explanation = explain_gaps(counted_trays(lot), what_is_known(lot));
  if (day) evidence.age_days = static_cast<int>(*day);
  evidence.crop = crop;
  return evidence;
}

bool came_to_nothing(const Inspections& course, const CropProfile* crop) {
  return course.came_up.back() == 0 && course.times.back() >= latest_telling_day(crop);
}

int most_seeds(const Lot& lot) {
  int most = 0;
  for (const CellCount& cell : counted_cells(lot)) most = std::max(most, cell.seeds);
  return most;
}

std::optional<Estimate> clusters_alive(std::span<const Lot> lots, double missed) {
  std::vector<std::vector<CellReading>> readings;
  int clusters = 0;
  for (const Lot& lot : lots) {
    if (lot.seed != SeedKind::cluster) continue;
    readings.insert(readings.end(), lot.readings.begin(), lot.readings.end());
    clusters = clusters > 0 ? std::min(clusters, most_seeds(lot)) : most_seeds(lot);
  }
  if (readings.empty() || clusters < 1) return std::nullopt;
  return clusters_alive(pooled_gap_rate(readings), clusters, missed);
}

std::optional<Estimate> earlier_rate(std::span<const Lot> earlier) {
  std::vector<CellCount> cells;
  for (const Lot& lot : earlier) {
    for (const CellCount& cell : counted_cells(lot))
      cells.push_back({germinated(cell, lot.seed), cell.seeds});
    for (const CellCount& replicate : lot.replicates)
      cells.push_back({germinated(replicate, lot.seed), replicate.seeds});
  }
  if (cells.empty()) return std::nullopt;
  return germination_rate(cells);
}

}  // namespace braird
