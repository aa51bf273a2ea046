// SPDX-License-Identifier: Apache-2.0
#include "calibration/advice.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "calibration/counter_doubt.h"
#include "calibration/economy.h"
#include "calibration/empty_cells.h"
#include "calibration/figure_words.h"

namespace braird {
namespace {

constexpr double kSureFit = 0.8;
constexpr double kMostDoubtful = 0.2;  // of the cells
constexpr double kCoolHouseC =
    15;  // a heated bench is warmer; waiting too long costs less than judging too early

/// With as many digits as it takes to print less than `limit`, which it is below.
std::string percent_below(double share, double limit) {
  if (share < limit - .01) return percent(share);
  constexpr int most_digits = 4;
  int digits = 0;
  while (digits < most_digits &&
         std::round(100 * share * std::pow(10, digits)) >= 100 * limit * std::pow(10, digits) - 1e-9)
    ++digits;
  return fmt::format("{:.{}f}", 100 * share, digits);
}

// Of corrected counts, the gaps that the rate stands for.
std::string gaps_of_cells(const Evidence& tray, const std::string& share) {
  const double gaps = std::round(tray.gaps.estimate * tray.summary.cells);
  return fmt::format("{}{} of {} stayed empty ({} %)", gaps != tray.summary.empty ? "About " : "",
                     grouped(gaps), counted(tray.summary.cells, "cell", "cells"), share);
}

std::string gap_share(const Evidence& tray) {
  return gaps_of_cells(tray, percent(tray.gaps.estimate));
}

bool is_doubtful(const Evidence& tray) {
  return tray.fit < kSureFit || tray.summary.review > kMostDoubtful * tray.summary.cells;
}

Advice look_at_picture(const Evidence& tray) {
  const std::string why =
      tray.fit < kSureFit
          ? fmt::format("It is only {} % certain that the cells were found in their places.",
                        percent(tray.fit))
          : fmt::format("{} of {} could not be told with certainty.", grouped(tray.summary.review),
                        counted(tray.summary.cells, "cell", "cells"));
  return {Action::look_at_picture,
          "Look at the marked photo before you trust these figures; a photo from straight above, in even "
          "light, helps.",
          why};
}

/// Just sown, or left uncovered as lettuce is: what stayed empty tells nothing yet.
bool is_just_sown(const Evidence& tray) {
  return tray.seeds_in_view && tray.age_days.value_or(0) < latest_telling_day(tray.crop);
}

Advice wait_for_seeds(const Evidence& tray) {
  return {Action::wait, "Wait, and count again when seedlings may be up.",
          fmt::format("Nothing has come up, but seeds lie in view in {} of 100 cells in the middle.",
                      percent(*tray.seeds_in_view))};
}

bool has_many_gaps(const Evidence& tray) {
  return tray.gaps.estimate > built_in_economy().worth_filling;
}

// What is held against the law's minimum: a cluster germinates with its first seedling.
const std::optional<Estimate>& lawful_rate(const Evidence& tray) {
  return tray.alive ? tray.alive : tray.germination;
}

bool is_below_minimum(const Evidence& tray) {
  const auto& rate = lawful_rate(tray);
  return rate && tray.crop && tray.crop->minimum_germination_percent &&
         rate->high < *tray.crop->minimum_germination_percent / 100.0;
}

bool has_unexplained_gaps(const Evidence& tray) {
  return tray.explanation && tray.explanation->verdict == GapVerdict::more;
}

int up_on(const Evidence& tray) {
  return std::max(telling_day(*tray.crop), tray.late_until.value_or(0));
}

bool is_too_early(const Evidence& tray) {
  return tray.age_days && tray.crop && *tray.age_days < up_on(tray) &&
         (has_many_gaps(tray) || is_below_minimum(tray) || has_unexplained_gaps(tray));
}

Advice wait(const Evidence& tray) {
  const int day = up_on(tray);
  return {Action::wait,
          fmt::format("Wait, and count again on day {} before you fill gaps or judge the seed.", day),
          fmt::format("{}, but this is day {} after sowing, and {} may come up until about day {}.",
                      gap_share(tray), *tray.age_days, tray.crop->name, day),
          day};
}

Advice fill_and_test_lot(const Evidence& tray) {
  return {
      Action::fill_and_test_lot,
      "Fill or resow the gaps from another lot, and test this lot before you sow more of it.",
      fmt::format("Even the top of the interval, {} %{}, is below {} %, the least that seed of {} on sale "
                  "may have ({}). "
                  "A cold, hot or dry bench lowers it too, so test on damp paper at the right warmth.",
                  percent_below(lawful_rate(tray)->high, *tray.crop->minimum_germination_percent / 100.),
                  tray.alive ? " of the clusters" : "", *tray.crop->minimum_germination_percent,
                  tray.crop->name, tray.crop->minimum_source)};
}

Advice fill(const Evidence& tray) {
  if (has_unexplained_gaps(tray)) {
    const bool may_be_missed = tray.explanation->cause != GapCause::shared_fate;
    return {Action::fill,
            fmt::format("Fill the gaps, and look where they lie: check {}the depth and the watering there.",
                        may_be_missed ? "the sower's plate, " : ""),
            gap_share(tray) + ", more than this germination explains."};
  }
  return {Action::fill, "Fill the gaps from spare seedlings, or resow those cells.", gap_share(tray) + "."};
}

/// What it takes to know whether more may still come up; empty if nothing more can be told.
std::string untold(const Evidence& tray) {
  if (tray.crop && telling_day(*tray.crop) == 0) return "the days that " + tray.crop->name + " takes";
  const char* crop = tray.crop ? "" : "the crop";
  const std::string day = tray.age_days ? "" : tray.untold_day;
  return fmt::format("{}{}{}", crop, *crop && !day.empty() ? " and " : "", day);
}

Advice resow(const Evidence& tray) {
  const bool known = untold(tray).empty();
  return {Action::resow, known ? "Resow the tray." : "Resow the tray, unless more may still come up.",
          gap_share(tray) + ", too many to fill by hand."};
}

/// The same, with what was not weighed.
Advice if_none_follow(Advice advice, const Evidence& tray) {
  if (const std::string missing = untold(tray); !missing.empty())
    advice.why += " Whether more may still come up can't be weighed without " + missing + ".";
  return advice;
}

Advice accept(const Evidence& tray) {
  const double limit = built_in_economy().worth_filling;
  return {
      Action::accept, "Keep the tray as it is.",
      fmt::format("{}; filling is worth the work above {} %.",
                  tray.gaps.estimate < limit ? gaps_of_cells(tray, percent_below(tray.gaps.estimate, limit))
                                             : gap_share(tray),
                  percent(limit))};
}

}  // namespace

Evidence weigh(const Tray& tray, const CropProfile* crop, std::optional<int> age_days) {
  Evidence evidence;
  const int seeds = tray.seeds_per_cell.value_or(1);
  const std::vector<CellReading> cells = cell_readings(tray, seeds);
  evidence.summary = summarise(tray);
  evidence.fit = tray.fit;
  evidence.gaps = gap_rate(cells);
  if (tray.seeds_per_cell) {
    evidence.germination = germination_rate(cells);
    if (seed_kind(tray.crop) == SeedKind::cluster) evidence.alive = clusters_alive(evidence.gaps, seeds);
    if (has_any_up(tray))
      evidence.explanation = explain_gaps(cell_counts(tray, seeds), {doubted_gaps(std::span(&cells, 1))});
  }
  evidence.age_days = age_days;
  evidence.crop = crop;
  evidence.seeds_in_view = tray.seeds_in_view;
  return evidence;
}

int telling_day(const CropProfile& crop) {
  const double slow = days_to_emergence(crop, kCoolHouseC).value_or(0);
  return std::max(static_cast<int>(std::ceil(slow)), crop.final_count_day.value_or(0));
}

int latest_telling_day(const CropProfile* crop) {
  int day = crop ? telling_day(*crop) : 0;
  if (day == 0)
    for (const CropProfile& any : built_in_profiles().crops) day = std::max(day, telling_day(any));
  return day;
}

Advice advise(const Evidence& tray) {
  if (is_just_sown(tray)) return wait_for_seeds(tray);
  if (is_doubtful(tray)) return look_at_picture(tray);
  if (is_too_early(tray)) return wait(tray);
  if (is_below_minimum(tray)) return if_none_follow(fill_and_test_lot(tray), tray);
  if (tray.gaps.estimate > built_in_economy().worth_resowing) return if_none_follow(resow(tray), tray);
  if (has_many_gaps(tray) || has_unexplained_gaps(tray)) return if_none_follow(fill(tray), tray);
  return accept(tray);
}

}  // namespace braird
