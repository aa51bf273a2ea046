// SPDX-License-Identifier: Apache-2.0
// How much better could anyone choose the seeds a cell from the same counts? For the lots of
// seasons_test.cpp, the choice of `advise_batch` is held against that of a chooser who knows from which
// ranges the lots are drawn, what no grower does: lots are drawn anew from those ranges and weighed by how
// well they explain the counts (importance sampling). What that chooser pays more than the best with the
// truth in hand is lack of information; what we pay more than that chooser is our fault. Prints one line;
// some minutes on two cores:  calibration_regret [LOTS]
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <future>
#include <thread>
#include <vector>

#include "tests/calibration/batches.h"

namespace braird::test {
namespace {

constexpr int kDrawn = 30000;  // lots that may be the true one
constexpr std::size_t kKept = 200;
constexpr double kReach = 6;  // standard errors

struct Drawn {
  TrueLot lot;
  double weight = 0;
};

std::vector<TrueLot> lots_drawn() {
  Random random(77);
  std::vector<TrueLot> lots;
  for (int at = 0; at < kDrawn; ++at) lots.push_back(drawn_lot(random));
  return lots;
}

// ln of the chance of a tray's counts, its own share summed over (seven-point Gauss-Hermite).
double log_chance(const SeenTray& tray, const TrueLot& lot) {
  constexpr double points[] = {0, 1.1544053947399682, 2.3667594107345415, 3.7504397177257424},
                   weights[] = {.45714285714285713, .24012317860501271, .030757123967586495,
                                .00054826885597221777};
  const SeedDrop drop = drop_of(tray.seeds, lot.sower);
  std::vector<double> logs;
  double best = -1e300, sum = 0;
  for (int at = -3; at <= 3; ++at) {
    const double share =
        1 / (1 + std::exp(-logit(lot.germination) - (at < 0 ? -1 : 1) * lot.spread * points[std::abs(at)]));
    const auto chances = seedling_chances(drop, share, lot.rho);
    double log = std::log(weights[std::abs(at)]);
    for (std::size_t k = 0; k < tray.cells_with.size(); ++k)
      if (tray.cells_with[k] > 0) log += tray.cells_with[k] * std::log(std::max(chances[k], 1e-300));
    logs.push_back(log);
    best = std::max(best, log);
  }
  for (const double log : logs) sum += std::exp(log - best);
  return best + std::log(sum);
}

// All lots that the counts leave possible, about kKept of them, each as likely as the others.
std::vector<TrueLot> possible(const std::vector<TrueLot>& all, const LotEvidence& evidence, Random& random) {
  double up = 0, sown = 0;
  for (const SeenTray& tray : evidence.trays)
    for (std::size_t k = 0; k < tray.cells_with.size(); ++k) {
      up += static_cast<double>(k) * tray.cells_with[k];
      sown += mean_seeds(drop_of(tray.seeds, evidence.sower)) * tray.cells_with[k];
    }
  const double most_seeds = evidence.trays.front().seeds,
               crude = logit(std::min(.999, (up + .5) / (sown + 1))),
               error = std::sqrt(
                   (1 + .4 * (most_seeds - 1)) * (1 / (up + .5) + 1 / (std::max(0., sown - up) + .5)) + .04);
  std::vector<Drawn> near;
  double best = -1e300, sum = 0;
  for (TrueLot lot : all) {
    if (std::abs(logit(lot.germination) - crude) > kReach * error) continue;
    lot.sower = evidence.sower;
    double log = 0;
    for (const SeenTray& tray : evidence.trays) log += log_chance(tray, lot);
    best = std::max(best, log);
    near.push_back({lot, log});
  }
  for (Drawn& drawn : near) sum += drawn.weight = std::exp(drawn.weight - best);
  std::vector<TrueLot> kept;  // systematic resampling
  double next = between(0, 1, random) * sum / kKept, passed = 0;
  for (const Drawn& drawn : near)
    for (passed += drawn.weight; next < passed; next += sum / kKept) kept.push_back(drawn.lot);
  return kept;
}

struct Tally {
  int lots = 0, ours_close = 0, mean_close = 0, close = 0;
  double ours = 0, mean = 0;  // costs above the best, in shares of it

  void add(const Tally& more) {
    lots += more.lots, ours_close += more.ours_close, mean_close += more.mean_close, close += more.close;
    ours += more.ours, mean += more.mean;
  }
};

double over_best(const std::vector<double>& costs, std::size_t at) {
  return costs[at] / *std::min_element(costs.begin(), costs.end()) - 1;
}

bool is_close(const std::vector<double>& costs, std::size_t at) {
  return over_best(costs, at) <= .01;
}

Tally one_lot(int season, const std::vector<TrueLot>& all) {
  Random random = season_of(2, season);
  const TrueLot lot = drawn_lot(random);
  const BatchTerms terms = drawn_terms(lot, random);
  const LotEvidence evidence = finished_trays(lot, random);
  const Belief belief = believe(evidence);
  const BatchAdvice advice = advise_batch(belief.lot, belief.germination, terms, ChosenBy::cost);
  const auto ours = static_cast<std::size_t>(advice.chosen - 1);
  std::vector<double> mean(advice.rows.size()), closeness(advice.rows.size());
  const std::vector<TrueLot> lots = possible(all, evidence, random);
  TrueLot last;
  std::vector<double> costs;
  for (const TrueLot& one : lots) {
    if (costs.empty() || one.germination != last.germination) costs = true_costs(one, terms, mean.size());
    last = one;
    for (std::size_t at = 0; at < mean.size(); ++at)
      mean[at] += over_best(costs, at), closeness[at] += is_close(costs, at);
  }
  const auto by_mean = static_cast<std::size_t>(std::min_element(mean.begin(), mean.end()) - mean.begin()),
             by_close = static_cast<std::size_t>(std::max_element(closeness.begin(), closeness.end()) -
                                                 closeness.begin());
  const auto truth = true_costs(lot, terms, mean.size());
  return {1,
          is_close(truth, ours),
          is_close(truth, by_mean),
          is_close(truth, by_close),
          over_best(truth, ours),
          over_best(truth, by_mean)};
}

Tally tally_of(int lots) {
  const std::vector<TrueLot> all = lots_drawn();
  const int cores = static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
  std::vector<std::future<Tally>> jobs;
  for (int core = 0; core < cores; ++core)
    jobs.push_back(std::async(std::launch::async, [&all, core, cores, lots] {
      Tally sum;
      for (int season = core; season < lots; season += cores) sum.add(one_lot(season, all));
      return sum;
    }));
  Tally sum;
  for (auto& job : jobs) sum.add(job.get());
  return sum;
}

}  // namespace

void print_regret(int lots) {
  const Tally sum = tally_of(lots);
  const double n = std::max(1, sum.lots);
  std::printf(
      "%d lots: ours costs %.3f %% more than the best with the truth in hand, within 1 %% in %.1f %%; who "
      "knows the ranges "
      "and takes the least expected extra cost %.3f %% and %.1f %%; who wants most lots within 1 %% has %.1f "
      "%%\n",
      sum.lots, 100 * sum.ours / n, 100 * sum.ours_close / n, 100 * sum.mean / n, 100 * sum.mean_close / n,
      100 * sum.close / n);
}

}  // namespace braird::test

int main(int arguments, char** argument) {
  braird::test::print_regret(arguments > 1 ? std::max(1, std::atoi(argument[1])) : 2000);
}
