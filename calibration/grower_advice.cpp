// SPDX-License-Identifier: Apache-2.0
#include "calibration/grower_advice.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "calibration/advice_remarks.h"
#include "calibration/limits.h"
#include "calibration/lot_evidence.h"
#include "calibration/require.h"
#include "calibration/seen_trays.h"
#include "calibration/warmth.h"

namespace braird {
namespace {

constexpr int kCellsOfATray = 128;  // where no tray is told or counted
constexpr double kNothingToCome = 0.01;

void check(const AdviceRequest& request) {
  if (request.need) require(*request.need >= 1, "cells for the bed", *request.need, "≥ 1");
  if (request.cells_per_tray)
    require(*request.cells_per_tray >= 1, "cells per tray", *request.cells_per_tray, "≥ 1");
  if (request.day) require(*request.day >= 0, "days since sowing", *request.day, "≥ 0");
  if (request.days_to_planting)
    require(*request.days_to_planting >= 0, "days to planting", *request.days_to_planting, "≥ 0");
  for (const auto& celsius : {request.temperature, request.next_temperature})
    if (celsius) require(can_be_medium(*celsius), "temperature", *celsius, kOfMedium);
  if (request.pack_percent)
    require(*request.pack_percent > 0 && *request.pack_percent <= 100, "germination of the pack",
            *request.pack_percent, "above 0 and at most 100 %");
  if (!request.lot && request.earlier.empty() && !request.pack_percent)
    throw std::invalid_argument(
        "nothing is known of the lot: name a file of counts, or state the pack's germination");
  if (request.lot && !request.lot->seeds_known)
    throw std::invalid_argument("say how many seeds were sown a cell: --seeds N");
}

int cells_per_tray(const AdviceRequest& request) {
  if (request.cells_per_tray) return *request.cells_per_tray;
  const bool counted = request.lot && !request.lot->trays.empty();
  return counted ? static_cast<int>(request.lot->trays.front().cells.size()) : kCellsOfATray;
}

// Of seeds sown more thinly than usual, no more plants are wanted than they can give; clusters give several.
Wanted wanted_of(const AdviceRequest& request) {
  if (request.wanted) return *request.wanted;
  const int sown = request.lot ? most_seeds(*request.lot) : 0;
  const int usual = request.crop ? request.crop->usual_seeds.value_or(0) : 0;
  const bool usual_can_come = usual > 0 && (sown == 0 || request.crop->seed == SeedKind::cluster ||
                                            usually_wanted(usual).low <= sown);
  return usually_wanted(usual_can_come ? usual : std::max(1, sown));
}

/// What all parts need, worked out once.
struct Desk {
  const AdviceRequest& request;
  LotEvidence evidence;
  Belief belief;
  std::vector<LotChance> next;  // the lot on the next batch's bench
  BatchTerms terms;
};

double still_to_come(const Belief& belief, std::optional<double> day) {
  return day && !belief.stand.empty() ? 1 - share_up(courses_of(belief), *day) : 0;
}

// The day that the rule names, if it says wait; else when nearly all is up.
std::optional<double> look_again_on(const Desk& desk, const Advice& rule) {
  if (rule.until) return rule.until;
  if (!desk.evidence.day || desk.evidence.timings.empty()) return std::nullopt;
  if (still_to_come(desk.belief, desk.evidence.day) < kNothingToCome) return std::nullopt;
  const std::optional<double> day = day_when_nearly_all_up(courses_of(desk.belief));
  return day > desk.evidence.day ? day : std::nullopt;
}

std::vector<OptionKind> as_options(Action action) {
  switch (action) {
    case Action::wait:
      return {OptionKind::wait, OptionKind::accept};
    case Action::fill:
    case Action::fill_and_test_lot:
      return {OptionKind::fill, OptionKind::resow_gaps, OptionKind::fresh_tray};
    case Action::resow:
      return {OptionKind::fresh_tray, OptionKind::resow_gaps};
    case Action::accept:
      return {OptionKind::accept};
    case Action::look_at_picture:
      return {};
  }
  return {};
}

// Too few spare plants to get the cells that are wanted, where seed would.
bool falls_short(const TrayOption& option, const std::vector<TrayOption>& options) {
  const auto sown = std::ranges::find(options, OptionKind::resow_gaps, &TrayOption::kind);
  return option.kind == OptionKind::fill && option.chance < .5 && sown != options.end() && sown->chance >= .5;
}

// False where none of the options does what the rule says.
bool put_first(std::vector<TrayOption>& options, Action action) {
  for (const OptionKind kind : as_options(action)) {
    const auto at = std::ranges::find(options, kind, &TrayOption::kind);
    if (at == options.end() || falls_short(*at, options)) continue;
    std::rotate(options.begin(), at, at + 1);
    return true;
  }
  return false;
}

bool is_in_doubt(const StandAdvice& advice) {
  return advice.rule.action == Action::look_at_picture;
}

// By cost, trays that lack cells are left as they are only for want of seed that is worth sowing.
bool is_last_resort(const StandAdvice& advice) {
  const TrayOption& first = advice.choices.options.front();
  return advice.too_poor && first.kind == OptionKind::accept && first.missing >= .5;
}

StandAdvice stand_advice(const Desk& desk, int new_seeds, bool early) {
  const AdviceRequest& request = desk.request;
  Evidence rule_evidence =
      evidence_for_rule(*request.lot, request.crop, desk.evidence.day, request.fit, request.review);
  if (request.sown_told) rule_evidence.untold_day = "the day of the count (--counted)";
  if (early && request.temperature && !desk.evidence.ahead)
    rule_evidence.late_until = static_cast<int>(day_when_nearly_all_up(courses_of(desk.belief)));
  StandAdvice advice;
  advice.rule = advise(rule_evidence);
  const int spare_gaps = static_cast<int>(rule_evidence.summary.cells * request.economy.worth_filling);
  advice.need = request.need.value_or(std::max(1, rule_evidence.summary.cells - spare_gaps));
  advice.too_poor = is_too_poor(desk.belief.lot, desk.terms);
  advice.too_early = early;
  OptionTerms terms{desk.evidence.trays,
                    count_variance(*request.lot, desk.terms.wanted.low),
                    desk.evidence.day,
                    look_again_on(desk, advice.rule),
                    request.days_to_planting,
                    advice.need,
                    request.need.has_value(),
                    advice.too_poor ? 0 : new_seeds,
                    desk.terms};
  advice.choices = tray_options(desk.belief, terms);
  const bool told = request.need || request.prices_told || request.days_to_planting;
  advice.ranked_by = told ? RankedBy::cost : RankedBy::rule;
  if (told) {
    advice.first_is_advised = !is_in_doubt(advice) && !is_last_resort(advice);
    advice.changes = what_would_change(desk.belief, terms);
  } else {
    advice.first_is_advised = put_first(advice.choices.options, advice.rule.action);
  }
  return advice;
}

void plan_bed(AdviceReport& report, const Desk& desk) {
  const AdviceRequest& request = desk.request;
  if (!request.need || report.batch.too_poor) return;
  try {
    report.sowing = plan_sowing(
        desk.next, {report.batch.chosen, desk.terms.wanted.low, desk.terms.cells_per_tray, desk.terms.sower},
        *request.need, request.economy.assurance);
    report.order = order_of(report.sowing->seeds, request.packs);
  } catch (const std::runtime_error& why) {
    report.no_sowing = why.what();
  }
}

// The belief about this sowing alone, so that it can be held against pack and earlier sowings.
Belief of_this_sowing(const Desk& desk) {
  LotEvidence alone = desk.evidence;
  if (alone.trays.empty() || alone.earlier.empty()) return desk.belief;
  alone.earlier.clear();
  return believe(alone);
}

BatchAdvice next_batch(AdviceReport& report, Desk& desk) {
  const AdviceRequest& request = desk.request;
  Belief belief = desk.belief;
  double most = 1;
  if (const auto next_c = request.next_temperature) {
    report.next_without_trays = !desk.evidence.trays.empty() && request.temperature &&
                                !tells_of(*next_c, report.crop, *request.temperature);
    report.warmth =
        warmth_factor(report.crop, report.next_without_trays ? std::nullopt : request.temperature, *next_c);
    most = normal_seedlings(report.crop, *next_c).value_or(1);
  }
  if (report.next_without_trays) {
    LotEvidence others = desk.evidence;
    others.trays.clear();
    belief = believe(others);
  }
  const double factor = report.warmth.value_or(1);
  Estimate range = belief.germination;
  for (double* end : {&range.low, &range.high}) *end = scaled(*end, factor, most);
  desk.next = scaled(std::move(belief.lot), factor, most);
  return advise_batch(desk.next, range, desk.terms,
                      request.prices_told ? ChosenBy::cost : ChosenBy::gap_limit);
}

// What is told of a bench on which nothing stands yet can only be meant for the next batch.
AdviceRequest settled(AdviceRequest request) {
  if (!request.lot && !request.next_temperature) request.next_temperature = request.temperature;
  if (!request.lot) request.temperature.reset();
  return request;
}

// Seedlings a cluster: as counted, where any were, and what is still to come.
Estimate of_clusters(const AdviceReport& report) {
  const bool counted = report.seen && report.seen->germination_rate;
  Estimate rate = counted ? *report.seen->germination_rate : report.in_the_end;
  const double factor = counted ? 1 / std::max(.01, 1 - report.still_to_come) : most_of_a_seed(report.sower);
  for (double* value : {&rate.estimate, &rate.low, &rate.high}) *value *= factor;
  return rate;
}

}  // namespace

AdviceReport advise_on(const AdviceRequest& asked) {
  check(asked);
  const AdviceRequest request = settled(asked);
  Desk desk{request, lot_evidence(request), {}, {}, {}};
  desk.belief = believe(desk.evidence);
  desk.terms = {wanted_of(request), desk.evidence.sower, cells_per_tray(request), request.economy};
  AdviceReport report;
  report.lot = request.lot ? request.lot->name : request.earlier.empty() ? "" : request.earlier.front().name;
  report.crop = request.crop ? request.crop->name : "";
  report.wanted = desk.terms.wanted;
  report.sower = desk.evidence.sower;
  report.economy = request.economy;
  report.day = desk.evidence.day;
  if (request.lot) report.seen = report_on(*request.lot);
  const Belief alone = of_this_sowing(desk);
  report.in_the_end = alone.germination;
  report.still_to_come = still_to_come(alone, desk.evidence.day);
  report.batch = next_batch(report, desk);
  if (!desk.evidence.trays.empty())
    report.stand = stand_advice(desk, report.batch.chosen, is_early(report.still_to_come));
  report.need = request.need;
  plan_bed(report, desk);
  if (!report.stand || !is_in_doubt(*report.stand))
    report.suspicions = question_lot(question_of(request, report));
  if (report.sower.clusters) report.in_the_end = of_clusters(report);
  report.remarks = remarks_on(request, report, desk.evidence);
  return report;
}

}  // namespace braird
