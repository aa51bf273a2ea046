// SPDX-License-Identifier: Apache-2.0
#include "calibration/tray_options.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <functional>

#include "calibration/tray_bench.h"

namespace braird {
namespace {

using namespace tray_bench;

// E max(0, need − X) for a normal X.
double expected_missing(const Spread& full, double need) {
  const double error = std::sqrt(full.variance), gap = need - full.mean;
  if (error < 1e-6) return std::max(0., gap);
  const boost::math::normal unit;
  return std::max(0., gap * cdf(unit, gap / error) + error * pdf(unit, gap / error));
}

double loss_of_a_cell(const Bench& bench, double lag_days) {
  const Economy& economy = bench.terms.batch.economy;
  return economy.full_cell_worth * std::min(1., lag_days * economy.lost_a_lag_day);
}

// Cells that lag, as far as the bed needs them, bring less.
double loss_by_lag(const TrayOption& option, const Bench& bench) {
  const double lacking =
      bench.terms.need_told ? std::max(0, bench.terms.need - bench.stand.full) : option.cells;
  return bench.in_time ? std::min<double>(option.cells, lacking) * bench.fresh.mean *
                             loss_of_a_cell(bench, option.lag_days)
                       : 0;
}

double seeds_of_a_new_cell(const Bench& bench) {
  return seeds_used(bench.terms.new_seeds, bench.terms.batch.sower);
}

// Gaps filled by hand get full, if all plants moved there live.
double filled_gaps_full(const Bench& bench) {
  return std::pow(bench.terms.batch.economy.moved_plants_live, plants_for_a_gap(bench.terms));
}

void judge(TrayOption& option, const std::vector<Growth>& growths, const Bench& bench, double more_cells) {
  const double need = bench.terms.need;
  option.chance = chance_of_full(growths, need, bench.stand.cells + more_cells);
  for (const Growth& growth : growths) {
    option.full_cells += growth.weight * growth.full.mean;
    option.missing += growth.weight * expected_missing(growth.full, need);
  }
  const Economy& economy = bench.terms.batch.economy;
  option.money += option.minutes * bench.minute + option.seeds * economy.seed_price;
  option.cost = option.money + option.missing * economy.full_cell_worth + loss_by_lag(option, bench);
}

// The fewest new cells that reach the need with the assurance, or all.
int enough_new(const Bench& bench, int most, const std::function<double(int)>& chance) {
  if (!bench.terms.need_told) return most;
  int low = 0, high = most;
  while (low < high) {
    const int middle = (low + high) / 2;
    if (chance(middle) >= bench.terms.batch.economy.assurance)
      high = middle;
    else
      low = middle + 1;
  }
  return high;
}

TrayOption accept(const Bench& bench) {
  TrayOption option;
  option.kind = OptionKind::accept;
  option.plants = bench.stand.plants + bench.came_plants;
  judge(option, bench.growths, bench, 0);
  return option;
}

std::optional<TrayOption> fill(const Bench& bench) {
  const NewCells moved{filled_gaps_full(bench), 0, 0};
  const int cells = enough_new(bench, bench.stand.fillable, [&](int many) {
    return chance_of_full(with_new(bench.growths, many, moved, true), bench.terms.need, bench.stand.cells);
  });
  if (cells < 1) return std::nullopt;
  TrayOption option;
  option.kind = OptionKind::fill;
  option.cells = cells;
  option.minutes = cells * bench.terms.batch.economy.minutes_to_fill_gap;
  option.plants = bench.stand.plants + bench.came_plants -
                  cells * plants_for_a_gap(bench.terms) * (1 - bench.terms.batch.economy.moved_plants_live);
  judge(option, with_new(bench.growths, cells, moved, true), bench, 0);
  return option;
}

TrayOption sown_anew(const Bench& bench, OptionKind kind, int cells) {
  TrayOption option;
  option.kind = kind;
  option.cells = cells;
  option.in_time = bench.in_time;
  option.lag_days = bench.terms.day.value_or(0);
  option.seeds = cells * seeds_of_a_new_cell(bench);
  option.plants = bench.stand.plants + bench.came_plants + (bench.in_time ? cells * bench.fresh.plants : 0);
  return option;
}

std::optional<TrayOption> resow_gaps(const Bench& bench) {
  const NewCells anew = bench.in_time ? bench.fresh : NewCells{};
  const int most = bench.terms.new_seeds > 0 ? bench.stand.empty : 0;
  const int cells = enough_new(bench, most, [&](int many) {
    return chance_of_full(with_new(bench.growths, many, anew, true), bench.terms.need, bench.stand.cells);
  });
  if (cells < 1) return std::nullopt;
  TrayOption option = sown_anew(bench, OptionKind::resow_gaps, cells);
  option.minutes = cells * bench.terms.batch.economy.minutes_to_resow_gap;
  judge(option, with_new(bench.growths, cells, anew, true), bench, 0);
  return option;
}

// More than anyone would need, though the lot do much worse than expected.
int most_fresh_trays(const Bench& bench) {
  if (!bench.terms.need_told) return 1;
  const int per_tray = bench.terms.batch.cells_per_tray;
  const double trays = 1.5 * bench.terms.need / (per_tray * std::max(bench.fresh.mean, .01));
  return static_cast<int>(std::min(std::ceil(trays) + 1, std::ceil(1e9 / per_tray)));
}

std::optional<TrayOption> fresh_tray(const Bench& bench) {
  if (bench.terms.new_seeds == 0 || (bench.stand.empty == 0 && !bench.terms.need_told)) return std::nullopt;
  const NewCells anew = bench.in_time ? bench.fresh : NewCells{};
  const int per_tray = bench.terms.batch.cells_per_tray;
  const int trays = enough_new(bench, most_fresh_trays(bench), [&](int many) {
    const double cells = many * per_tray;
    return chance_of_full(with_new(bench.growths, cells, anew, false), bench.terms.need,
                          bench.stand.cells + cells);
  });
  if (trays < 1) return std::nullopt;
  const int sown = bench.in_time ? trays : 1;  // more would be of no more use
  TrayOption option = sown_anew(bench, OptionKind::fresh_tray, sown * per_tray);
  option.trays = sown;
  option.minutes = sown * bench.terms.batch.economy.minutes_to_sow_tray;
  option.money = sown * bench.terms.batch.economy.tray_price;
  judge(option, with_new(bench.growths, option.cells, anew, false), bench, option.cells);
  return option;
}

// A way to close gaps after the wait: what a gap costs, and how many of them get full.
struct LaterWay {
  double price = 0, full = 0, most = 0;
};

// Gaps closed by the cheapest way that is open then, and the next; what is missing beyond them is lost.
double cost_by_gaps(std::vector<LaterWay> ways, double missing, double gaps, double worth) {
  std::erase_if(ways, [&](const LaterWay& way) { return way.full < .01 || way.price >= worth * way.full; });
  std::ranges::sort(ways, {}, [](const LaterWay& way) { return way.price / way.full; });
  double cost = 0;
  for (const LaterWay& way : ways) {
    const double closed = std::min({gaps, way.most, missing / way.full});
    cost += closed * way.price;
    gaps -= closed;
    missing -= closed * way.full;
  }
  return cost + missing * worth;
}

double cost_by_fresh_trays(const Bench& bench, double missing, double lost_a_cell) {
  const BatchTerms& batch = bench.terms.batch;
  const double tray = batch.economy.tray_price + batch.economy.minutes_to_sow_tray * bench.minute +
                      batch.cells_per_tray * seeds_of_a_new_cell(bench) * batch.economy.seed_price;
  return std::ceil(missing / (batch.cells_per_tray * bench.fresh.mean)) * tray + missing * lost_a_cell;
}

// What the cells that are still missing after the wait cost then.
double later_cost(const Growth& growth, const Bench& bench, double days) {
  const Economy& economy = bench.terms.batch.economy;
  const double missing = expected_missing(growth.full, bench.terms.need),
               gaps = bench.stand.empty * (1 - growth.gap_fills),
               lost = loss_of_a_cell(bench, *bench.terms.day + days);
  std::vector<LaterWay> ways = {{economy.minutes_to_fill_gap * bench.minute, filled_gaps_full(bench),
                                 static_cast<double>(bench.stand.fillable)}};
  const auto planting = bench.terms.days_to_planting;
  const bool in_time =
      bench.terms.new_seeds > 0 && (!planting || *planting - days >= economy.least_days_in_tray);
  if (in_time)
    ways.push_back({economy.minutes_to_resow_gap * bench.minute +
                        economy.seed_price * seeds_of_a_new_cell(bench) + lost * bench.fresh.mean,
                    bench.fresh.mean, gaps});
  const double by_gaps = cost_by_gaps(ways, missing, gaps, economy.full_cell_worth);
  return in_time && bench.fresh.mean > .01 ? std::min(by_gaps, cost_by_fresh_trays(bench, missing, lost))
                                           : by_gaps;
}

std::optional<TrayOption> wait(const Bench& bench) {
  if (!bench.stand.waiting) return std::nullopt;
  const double days = bench.stand.waiting->until_day - *bench.terms.day;
  TrayOption option;
  option.kind = OptionKind::wait;
  option.plants = bench.stand.plants + bench.came_plants;
  option.money =
      days * bench.terms.batch.economy.bench_day_price * static_cast<double>(bench.terms.trays.size());
  judge(option, bench.growths, bench, 0);
  option.cost = option.money;
  for (const Growth& growth : bench.growths) option.cost += growth.weight * later_cost(growth, bench, days);
  return option;
}

}  // namespace

const char* name_of(OptionKind kind) {
  switch (kind) {
    case OptionKind::accept:
      return "accept";
    case OptionKind::wait:
      return "wait";
    case OptionKind::fill:
      return "fill";
    case OptionKind::resow_gaps:
      return "resow_gaps";
    case OptionKind::fresh_tray:
      return "fresh_tray";
  }
  return "";
}

TrayOptions tray_options(const Belief& belief, const OptionTerms& terms) {
  Bench bench = bench_of(belief, terms);
  std::vector<TrayOption> options{accept(bench)};
  for (const auto& option : {wait(bench), fill(bench), resow_gaps(bench), fresh_tray(bench)})
    if (option) options.push_back(*option);
  std::ranges::stable_sort(options, {}, &TrayOption::cost);
  bench.stand.options = std::move(options);
  return std::move(bench.stand);
}

}  // namespace braird
