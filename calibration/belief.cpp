// SPDX-License-Identifier: Apache-2.0
#include "calibration/belief.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "calibration/belief_grid.h"
#include "calibration/emergence_curve.h"
#include "calibration/require.h"

namespace braird {
namespace {

using namespace belief_grid;

constexpr double kNegligible = 1e-4;

// For one ρ and one course: how likely each witness is at each logit of its own, and at each of the lot's.
struct Slice {
  double rho = 0, log_scale = 0;  // ln of what the weights are to be multiplied by
  Timing timing;
  std::vector<Row> own;                               // [witness][point], largest 1
  std::array<std::vector<Row>, kSpreads.size()> lot;  // [spread][witness][point]
  std::array<Row, kSpreads.size()> weight;            // [spread][point]
};

// Turns logs into shares of the largest, which is returned.
double unlog(Row& logs) {
  const double best = *std::max_element(logs.begin(), logs.end());
  for (double& value : logs) value = std::exp(value - best);
  return best;
}

// Multiplies the weights by one witness's chances, and keeps the largest at 1.
void weigh_in(Slice& slice, std::size_t witness) {
  double best = 0;
  for (std::size_t s = 0; s < kSpreads.size(); ++s)
    for (std::size_t i = 0; i < slice.weight[s].size(); ++i)
      best = std::max(best, slice.weight[s][i] *= slice.lot[s][witness][i]);
  if (best <= 0) return;
  for (Row& row : slice.weight)
    for (double& weight : row) weight /= best;
  slice.log_scale += std::log(best);
}

void lay_out(Slice& slice, const Grid& grid, const std::vector<Witness>& witnesses) {
  for (std::size_t s = 0; s < kSpreads.size(); ++s) {
    for (const double prior : grid.prior) slice.weight[s].push_back(prior * kSpreads[s][1]);
    for (std::size_t w = 0; w < witnesses.size(); ++w) {
      Row of_lot = kSpreads[s][0] > 0 ? smeared(slice.own[w], grid.kernels[s]) : slice.own[w];
      const bool may_be_apart = !witnesses[w].tray && witnesses.size() > 1;
      if (may_be_apart) of_lot = apart_at_times(of_lot, grid);
      slice.lot[s].push_back(std::move(of_lot));
    }
  }
}

double sum_of(const Slice& slice) {
  double sum = 0;
  for (const Row& row : slice.weight)
    for (const double weight : row) sum += weight;
  return sum;
}

// The witnesses from `first` on shape the germination within the slice, which gets no likelier or less
// likely.
void shape_by(Slice& slice, std::size_t first) {
  const double scale = slice.log_scale, sum = sum_of(slice);
  if (first == slice.own.size() || sum <= 0) return;
  for (std::size_t witness = first; witness < slice.own.size(); ++witness) weigh_in(slice, witness);
  slice.log_scale = scale + std::log(sum / sum_of(slice));
}

std::vector<Slice> slices_of(const LotEvidence& evidence, const std::vector<Witness>& witnesses,
                             const Grid& grid) {
  std::vector<Timing> timings = evidence.timings;
  if (timings.empty() || evidence.trays.empty()) timings = {Timing{}};
  const std::size_t telling = evidence.trays.empty() ? witnesses.size() : evidence.trays.size();
  std::vector<Slice> slices;
  double likeliest = -1e300;
  for (const auto& [rho, prior] : kRhos) {
    std::vector<std::vector<Row>> finals;  // courses share them
    finals.reserve(witnesses.size());
    for (const Witness& witness : witnesses) finals.push_back(finals_of(witness, grid, rho));
    for (const Timing& timing : timings) {
      if (timing.weight <= 0) continue;
      Slice slice{rho, std::log(prior * timing.weight), timing, {}, {}, {}};
      const double up = timing.share_up(evidence.day.value_or(0));
      for (std::size_t w = 0; w < witnesses.size(); ++w) {
        slice.own.push_back(log_chances(witnesses[w], finals[w], grid, rho, up));
        const double best = unlog(slice.own.back());
        if (w < telling) slice.log_scale += best;
      }
      // What the lot adds can only make it less likely.
      if (slice.log_scale < likeliest + std::log(kNegligible)) continue;
      lay_out(slice, grid, witnesses);
      for (std::size_t w = 0; w < telling; ++w) weigh_in(slice, w);
      likeliest = std::max(likeliest, slice.log_scale);
      shape_by(slice, telling);
      slices.push_back(std::move(slice));
    }
  }
  return slices;
}

// Makes the weights of all slices sum to 1; returns ln of their sum before.
double normalise(std::vector<Slice>& slices) {
  double best = -1e300, sum = 0;
  for (const Slice& slice : slices) best = std::max(best, slice.log_scale);
  for (Slice& slice : slices)
    for (Row& row : slice.weight)
      for (double& weight : row) sum += weight *= std::exp(slice.log_scale - best);
  for (Slice& slice : slices)
    for (Row& row : slice.weight)
      for (double& weight : row) weight /= sum;
  return best + std::log(sum);
}

template <typename Chance>
void keep_the_likely(std::vector<Chance>& chances) {
  double best = 0, sum = 0;
  for (const Chance& chance : chances) best = std::max(best, chance.weight);
  std::erase_if(chances, [&](const Chance& chance) { return chance.weight < best * kNegligible * 10; });
  for (const Chance& chance : chances) sum += chance.weight;
  for (Chance& chance : chances) chance.weight /= sum;
}

// Courses make no difference to the next tray, so their weights are added up.
std::vector<LotChance> lot_chances(const std::vector<Slice>& slices, const Grid& grid) {
  std::vector<LotChance> lot;
  for (const auto& [rho, prior] : kRhos)
    for (std::size_t s = 0; s < kSpreads.size(); ++s)
      for (std::size_t i = 0; i < grid.logits.size(); ++i) {
        LotChance chance{0, share_of(grid.logits[i]), kSpreads[s][0], rho};
        for (const Slice& slice : slices)
          if (slice.rho == rho) chance.weight += slice.weight[s][i];
        lot.push_back(chance);
      }
  keep_the_likely(lot);
  return lot;
}

TrayLogit tray_logit(const Slice& slice, const Grid& grid, std::size_t tray) {
  Row weight(grid.logits.size());
  for (std::size_t s = 0; s < kSpreads.size(); ++s)
    for (std::size_t i = 0; i < weight.size(); ++i) {
      const double of_lot = slice.weight[s][i] / std::max(slice.lot[s][tray][i], 1e-300);
      if (of_lot <= 0) continue;
      if (kSpreads[s][0] <= 0) {
        weight[i] += slice.weight[s][i];
        continue;
      }
      const auto& [first, chances] = grid.kernels[s][i];
      for (std::size_t j = 0; j < chances.size(); ++j)
        weight[first + j] += of_lot * chances[j] * slice.own[tray][first + j];
    }
  double sum = 0, mean = 0, square = 0;
  for (std::size_t j = 0; j < weight.size(); ++j) {
    sum += weight[j];
    mean += weight[j] * grid.logits[j];
    square += weight[j] * grid.logits[j] * grid.logits[j];
  }
  mean /= sum;
  return {mean, std::sqrt(std::max(0., square / sum - mean * mean))};
}

std::vector<StandChance> stand_chances(const std::vector<Slice>& slices, const Grid& grid,
                                       std::size_t trays) {
  std::vector<StandChance> stand;
  if (trays == 0) return stand;
  for (const Slice& slice : slices) {
    StandChance chance{sum_of(slice), slice.rho, slice.timing, {}};
    if (chance.weight < kNegligible) continue;
    for (std::size_t tray = 0; tray < trays; ++tray) chance.trays.push_back(tray_logit(slice, grid, tray));
    stand.push_back(std::move(chance));
  }
  keep_the_likely(stand);
  return stand;
}

Estimate germination_of(std::vector<LotChance> lot) {
  std::ranges::sort(lot, {}, &LotChance::mean);
  Estimate germination{0, lot.front().mean, lot.back().mean, "all counts, priors and doubts weighed"};
  double below = 0;
  for (const LotChance& chance : lot) {
    germination.estimate += chance.weight * chance.mean;
    if (below < .025) germination.low = chance.mean;
    if (below < .975) germination.high = chance.mean;
    below += chance.weight;
  }
  return germination;
}

}  // namespace

Belief believe(const LotEvidence& evidence) {
  require(evidence.day.value_or(0) >= 0, "days since sowing", evidence.day.value_or(0), "≥ 0");
  require(evidence.timings.empty() || evidence.trays.empty() || evidence.day, "days since sowing", "unknown",
          "known where seedlings may still come");
  const std::vector<Witness> witnesses = witnesses_of(evidence);
  const Grid grid = grid_for(witnesses, !evidence.timings.empty());
  std::vector<Slice> slices = slices_of(evidence, witnesses, grid);
  Belief belief;
  belief.log_evidence = normalise(slices);
  belief.lot = lot_chances(slices, grid);
  belief.stand = stand_chances(slices, grid, evidence.trays.size());
  belief.germination = germination_of(belief.lot);
  return belief;
}

std::vector<Timing> courses_of(const Belief& belief) {
  std::vector<Timing> courses;
  for (const StandChance& stand : belief.stand)
    courses.push_back({stand.timing.half_days, stand.timing.steepness, stand.weight});
  return courses;
}

double scaled(double germination, double factor, double most) {
  require(factor >= 0, "factor on germination", factor, "≥ 0");
  return std::clamp(std::min(germination * factor, std::max(germination, most)), 1e-6, 1 - 1e-6);
}

std::vector<LotChance> scaled(std::vector<LotChance> lot, double factor, double most) {
  for (LotChance& chance : lot) chance.mean = scaled(chance.mean, factor, most);
  return lot;
}

std::vector<WeightedShare> shares_around(double logit, double spread) {
  if (spread <= 0) return {{1, share_of(logit)}};
  const double step = std::sqrt(3.) * spread;
  return {{1 / 6., share_of(logit - step)}, {2 / 3., share_of(logit)}, {1 / 6., share_of(logit + step)}};
}

double logit(double share) {
  return std::log(share / (1 - share));
}

}  // namespace braird
