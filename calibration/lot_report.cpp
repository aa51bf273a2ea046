// SPDX-License-Identifier: Apache-2.0
#include "calibration/lot_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <stdexcept>

#include "calibration/checked_cells.h"
#include "calibration/counter_doubt.h"
#include "calibration/figure_words.h"
#include "calibration/gap_map.h"
#include "calibration/in_the_end.h"
#include "calibration/overdispersion.h"
#include "calibration/rate_sample.h"
#include "calibration/rates.h"
#include "calibration/standing_out.h"
#include "calibration/which_to_check.h"

namespace braird {
namespace {

constexpr std::size_t kCellsToName = 5;

using Groups = std::vector<std::vector<CellCount>>;
using Readings = std::vector<std::vector<CellReading>>;

// The counts by tray; without trays, all replicates as one group. Nothing where seeds and seedlings don't
// fit.
std::optional<Groups> groups_of(const Lot& lot) {
  Groups groups;
  auto add = [&](std::span<const CellCount> cells) {
    auto kept = within_seeds(cells);
    if (kept && !kept->empty()) groups.push_back(std::move(*kept));
    return kept.has_value();
  };
  for (const TrayMap& tray : lot.trays)
    if (!add(tray.cells)) return std::nullopt;
  if (lot.trays.empty() && !add(lot.replicates)) return std::nullopt;
  if (groups.empty() || !lot.seeds_known) return std::nullopt;
  return groups;
}

// Each group held against its own rate, as rho is: groups that differ are no shared fate of their units.
double design_effect_within(const Groups& groups) {
  double seen = 0, plain = 0, most = 1;
  for (const auto& group : groups) {
    const RateSample of = rate_sample(cell_readings(group));
    if (of.units < 2) continue;
    seen += sampled_variance(of) * of.seeds * of.seeds;
    plain += binomial_variance(of) * of.seeds * of.seeds;
    most = std::max(most, of.most_seeds);
  }
  return plain > 0 ? std::clamp(seen / plain, 1.0, most) : 1;
}

std::vector<CellCount> joined(const Groups& groups) {
  std::vector<CellCount> all;
  for (const auto& group : groups) all.insert(all.end(), group.begin(), group.end());
  return all;
}

// One unit alone can't differ from others.
bool can_differ(const Groups& groups) {
  return std::ranges::any_of(groups, [](const auto& group) {
    return std::ranges::count_if(group, [](const CellCount& unit) { return unit.seeds > 0; }) > 1;
  });
}

Overdispersion overdispersion_of(const Groups& groups, std::string_view unit) {
  const BetaBinomialFit fit = fit_beta_binomial(groups);
  Overdispersion result;
  result.unit = unit;
  result.rho = fit.rho;
  result.rho_error = fit.rho_error;
  result.tarone_z = tarone_z(groups);
  result.log_likelihood = fit.log_likelihood;
  result.binomial_log_likelihood = fit.binomial_log_likelihood;
  result.design_effect = design_effect_within(groups);
  return result;
}

std::string_view unit_of(const Lot& lot) {
  return lot.trays.empty() ? "replicates" : "cells";
}

void add_sums(LotReport& report, const Lot& lot) {
  auto add = [&](const CellCount& cell) {
    report.sown += cell.seeds;
    report.seedlings += cell.seedlings;
    if (lot.seeds_known && lot.seed == SeedKind::single) report.surplus += surplus({&cell, 1});
  };
  report.trays = static_cast<int>(lot.trays.size());
  for (const TrayMap& tray : lot.trays) {
    const GapMap gaps = gap_map(tray);
    report.cells += gaps.cells;
    report.empty += gaps.empty;
    for (const CellCount& cell : tray.cells) add(cell);
  }
  for (const CellCount& replicate : lot.replicates) add(replicate);
  if (report.sown > 0 || !lot.course) return;
  report.sown = lot.course->sown;
  report.seedlings = lot.course->came_up.back();
}

std::optional<Estimate> germination_of(const Lot& lot) {
  if (!lot.seeds_known) return std::nullopt;
  if (!lot.checked.empty()) return checked_germination_rate(lot);
  if (!lot.readings.empty()) return pooled_germination_rate(lot.readings);
  if (!lot.replicates.empty()) return germination_rate(cell_readings(lot.replicates, lot.seed));
  if (!lot.course) return std::nullopt;
  const std::vector<CellReading> whole = {{lot.course->came_up.back(), 0, 0, lot.course->sown}};
  return germination_rate(whole);
}

std::optional<Estimate> gap_rate_of(const Lot& lot) {
  if (!lot.checked.empty()) return checked_gap_rate(lot);
  return lot.readings.empty() ? std::nullopt : std::optional(pooled_gap_rate(lot.readings));
}

// Added to the rate of now, so that it is never surer than that.
Estimate final_rate(const Inspections& seen, double effect, const std::optional<Estimate>& now) {
  const Course course{seen, effect};
  const auto outlook = now ? outlook_of(*now, {&course, 1}).in_the_end : std::nullopt;
  return outlook ? *outlook : forecast_final_rate(seen, effect);
}

TimeCourse course_of(const Inspections& seen, double effect, const std::optional<Estimate>& now) {
  TimeCourse course{seen.times.front(), {}, {}, {}};
  if (seen.came_up.back() >= 1) course.times = germination_times(seen);
  course.fit = fit_emergence(seen);
  course.final_rate = final_rate(seen, effect, now);
  return course;
}

std::vector<Finding> findings_of(const Lot& lot) {
  std::vector<Finding> found = find_repeated_places(lot.trays);
  for (const TrayMap& tray : lot.trays)
    for (Finding& finding : find_patterns(tray)) found.push_back(std::move(finding));
  return found;
}

// The best of each tray's best not yet checked; a tray's readings are its cells, where all were sown.
std::vector<PlaceToCheck> places_to_check(const Lot& lot, const Readings& readings) {
  struct DoubtedCell {
    const TrayMap* tray;
    int at;
    double spread;
  };
  std::vector<DoubtedCell> places;
  for (std::size_t t = 0; t < lot.trays.size(); ++t) {
    if (readings[t].size() != lot.trays[t].cells.size()) continue;
    for (const std::size_t cell : cells_to_check(readings[t], kCellsToName))
      places.push_back({&lot.trays[t], static_cast<int>(cell), readings[t][cell].spread});
  }
  std::ranges::stable_sort(places, std::greater{}, &DoubtedCell::spread);
  places.resize(std::min(places.size(), kCellsToName));
  std::vector<PlaceToCheck> result;
  result.reserve(places.size());
  for (const auto& [tray, at, spread] : places)
    result.push_back({tray->name, at / tray->layout.cols, at % tray->layout.cols, place_name(*tray, at)});
  return result;
}

// The rules speak of 2 or 4 replicates of 100 seeds.
std::optional<ReplicateVerdict> replicates_of(std::span<const CellCount> replicates) {
  if (replicates.size() != 2 && replicates.size() != 4) return std::nullopt;
  std::vector<int> germinated;
  for (const CellCount& replicate : replicates) {
    if (replicate.seeds != 100 || replicate.seedlings > 100) return std::nullopt;
    germinated.push_back(replicate.seedlings);
  }
  return judge_replicates(germinated);
}

std::string surplus_sentence(int surplus) {
  return fmt::format(
      "{} beyond the seeds sown in {} left out of the germination rate: the sower or the counter doubled. "
      "Crops sown as clusters, such as beet, may do so: --crop tells.",
      counted(surplus, "seedling", "seedlings"), surplus == 1 ? "its cell was" : "their cells were");
}

void remark_on(LotReport& report, const Lot& lot) {
  report.remarks = lot.remarks;
  if (!lot.seeds_known)
    report.remarks.push_back(
        "How many seeds were sown a cell is not known, so there is no germination rate: say --seeds N.");
  if (lot.seeds_known && !groups_of(lot))
    report.remarks.push_back("Too many cells hold more seedlings than seeds to measure shared fate.");
  if (report.surplus > 0) report.remarks.push_back(surplus_sentence(report.surplus));
}

}  // namespace

LotReport report_on(const Lot& lot) {
  LotReport report;
  report.name = lot.name;
  report.seeds_known = lot.seeds_known;
  add_sums(report, lot);
  if (report.sown <= 0) throw std::invalid_argument("lot " + lot.name + ": no seed was sown");
  report.germination_rate = germination_of(lot);
  report.gap_rate = gap_rate_of(lot);
  const bool only_course = lot.trays.empty() && lot.replicates.empty();
  const auto groups = only_course ? std::nullopt : groups_of(lot);
  if (groups && can_differ(*groups)) report.overdispersion = overdispersion_of(*groups, unit_of(lot));
  report.findings = findings_of(lot);
  const Readings settled = lot.checked.empty() ? Readings() : checked_trays(lot).trays;
  const Readings& readings = lot.checked.empty() ? lot.readings : settled;
  if (groups && !lot.trays.empty())
    report.gaps = explain_gaps(*groups, gap_context(lot.trays, report.findings, doubted_gaps(readings)));
  const double effect = report.overdispersion ? report.overdispersion->design_effect : 1;
  if (lot.course) report.time_course = course_of(*lot.course, effect, report.germination_rate);
  report.check_next = places_to_check(lot, readings);
  report.last_day = lot.last_day;
  if (lot.trays.empty()) report.replicates = replicates_of(lot.replicates);
  if (!only_course) remark_on(report, lot);
  return report;
}

std::optional<Overdispersion> overdispersion_across(std::span<const Lot> lots) {
  if (lots.size() < 2) return std::nullopt;
  Groups groups;
  for (const Lot& lot : lots) {
    const auto of_lot = groups_of(lot);
    if (!of_lot) return std::nullopt;
    groups.push_back(joined(*of_lot));
  }
  if (!can_differ(groups)) return std::nullopt;
  Overdispersion across = overdispersion_of(groups, unit_of(lots[0]));
  across.tarone_z = std::nullopt;  // it supposes one rate for all
  return across;
}

}  // namespace braird
