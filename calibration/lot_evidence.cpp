// SPDX-License-Identifier: Apache-2.0
#include "calibration/lot_evidence.h"

#include <algorithm>
#include <cmath>

#include "calibration/checked_cells.h"
#include "calibration/emergence_fit.h"
#include "calibration/grower_advice.h"
#include "calibration/seen_trays.h"

namespace braird {
namespace {

void add_past(std::vector<PastSowing>& past, const Lot& lot) {
  for (const TrayMap& tray : lot.trays) {
    PastSowing sowing{0, 0, 1};
    for (const CellCount& cell : tray.cells) {
      sowing.seedlings += cell.seedlings;
      sowing.seeds += cell.seeds;
      sowing.seeds_per_cell = std::max(sowing.seeds_per_cell, cell.seeds);
    }
    if (sowing.seeds > 0) past.push_back(sowing);
  }
  for (const CellCount& replicate : lot.replicates)
    past.push_back({static_cast<double>(replicate.seedlings), static_cast<double>(replicate.seeds), 1});
  if (lot.trays.empty() && lot.replicates.empty() && lot.course)
    past.push_back({forecast_final_rate(*lot.course).estimate * lot.course->sown, lot.course->sown, 1});
}

double pack_germination(const AdviceRequest& request) {
  const double stated = *request.pack_percent / 100;
  if (!request.stored || !request.crop) return stated;
  return aged_germination(request.crop->name, std::clamp(stated, .01, .99), *request.stored).value_or(stated);
}

}  // namespace

LotEvidence lot_evidence(const AdviceRequest& request) {
  LotEvidence evidence;
  evidence.sower = request.sower;
  for (const Lot& lot : request.earlier) add_past(evidence.earlier, lot);
  if (request.pack_percent && request.economy.pack_worth_seeds > 0)
    evidence.earlier.push_back(
        {pack_germination(request) * request.economy.pack_worth_seeds, request.economy.pack_worth_seeds, 1});
  if (!request.lot) return evidence;
  const Lot& lot = *request.lot;
  if (lot.trays.empty()) add_past(evidence.earlier, lot);
  evidence.trays = seen_trays(lot);
  evidence.worth = worth_of_a_cell(lot);
  evidence.day = request.day ? request.day : lot.last_day;
  if (evidence.trays.empty()) return evidence;
  if (evidence.day && request.crop) evidence.timings = timings_of(*request.crop, request.temperature);
  if (evidence.day && lot.course)
    evidence.timings = weighed_by(evidence.timings, *lot.course, design_effect(counted_cells(lot)));
  const GapExplanation gaps = explain_gaps(counted_cells(lot));
  if (gaps.cause == GapCause::missed_cells && evidence.sower.missed == 0) evidence.sower.missed = gaps.missed;
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
  evidence.gaps = lot.checked.empty() ? gap_rate(cells) : checked_gap_rate(lot);
  evidence.germination = lot.checked.empty() ? germination_rate(cells) : checked_germination_rate(lot);
  evidence.explanation = explain_gaps(cells);
  if (day) evidence.age_days = static_cast<int>(*day);
  evidence.crop = crop;
  return evidence;
}

int most_seeds(const Lot& lot) {
  int most = 0;
  for (const CellCount& cell : counted_cells(lot)) most = std::max(most, cell.seeds);
  return most;
}

std::optional<Estimate> earlier_rate(std::span<const Lot> earlier) {
  std::vector<CellCount> cells;
  for (const Lot& lot : earlier) {
    const auto of_trays = counted_cells(lot);
    cells.insert(cells.end(), of_trays.begin(), of_trays.end());
    cells.insert(cells.end(), lot.replicates.begin(), lot.replicates.end());
  }
  if (cells.empty()) return std::nullopt;
  return germination_rate(cells);
}

}  // namespace braird
