// SPDX-License-Identifier: Apache-2.0
#include "cli/text/advice_phrases.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "calibration/figure_words.h"

namespace braird::cli {

std::string money(double amount, const Economy& economy) {
  return fmt::format("{:.{}f} {}", amount, amount >= 0.0005 && amount < 0.0995 ? 3 : 2, economy.currency);
}

namespace {

std::string why_so_many(const AdviceReport& report) {
  if (report.batch.by == ChosenBy::cost) return "the least cost of a usable cell";
  const BatchRow& row = report.batch.rows[static_cast<std::size_t>(report.batch.chosen - 1)];
  const double missed = report.sower.missed, limit = report.economy.gap_limit,
               at_most = missed + (1 - missed) * limit;
  const std::string lacking =
      report.wanted.low == 1 ? "empty" : fmt::format("with under {} plants", report.wanted.low);
  const BatchRow& least = *std::ranges::min_element(report.batch.rows, {}, &BatchRow::below);
  if (least.below > at_most)
    return fmt::format("no number keeps the cells {} to {:g} %; more seeds hardly help", lacking,
                       100 * limit);
  if (row.below > at_most)
    return fmt::format("more seeds hardly help (even {} leave {} % of the cells {})", least.seeds_per_cell,
                       percent(least.below), lacking);
  return fmt::format("the fewest seeds that leave at most {:g} % of the {}cells {}", 100 * limit,
                     missed > 0 ? "sown " : "", lacking);
}

/// What is done, whenever its plants come.
std::string action(const TrayOption& option, const TrayOptions& stand) {
  switch (option.kind) {
    case OptionKind::accept:
      return "leave them as they are";
    case OptionKind::wait:
      return fmt::format("wait until day {:.0f}", stand.waiting ? std::ceil(stand.waiting->until_day) : 0);
    case OptionKind::fill:
      return fmt::format("fill {} from spare plants, {} empty", counted(option.cells, "gap", "gaps"),
                         counted(stand.empty - option.cells, "stays", "stay"));
    case OptionKind::resow_gaps:
      return "resow " + counted(option.cells, "gap", "gaps");
    case OptionKind::fresh_tray:
      return "sow " + counted(option.trays, "fresh tray", "fresh trays");
  }
  return "";
}

std::string costs(const StandAdvice& stand, const Economy& economy) {
  const auto& options = stand.choices.options;
  const TrayOption& best = options.front();
  std::string words =
      best.money < .005 ? "Costs nothing now; " : fmt::format("Costs {} now; ", money(best.money, economy));
  words += best.missing < .5 ? "hardly a cell will be missing."
                             : fmt::format("about {} will be missing, a loss of {}.",
                                           counted(best.missing, "cell", "cells"),
                                           money(best.missing * economy.full_cell_worth, economy));
  if (options.size() > 1)
    words += fmt::format(" The next best costs {} more in all.", money(options[1].cost - best.cost, economy));
  const auto sure = std::ranges::find_if(
      options, [&](const TrayOption& option) { return option.chance >= economy.assurance; });
  if (best.chance < economy.assurance && sure != options.end())
    words += fmt::format(" To be {} % sure of enough full cells, {}{}.", percent(economy.assurance),
                         action(*sure, stand.choices),
                         sure->lag_days > 0 ? fmt::format(" ({:.0f} days younger)", sure->lag_days) : "");
  return words;
}

std::string worth_waiting(const WorthWaiting& waiting) {
  if (waiting.to_come < .5)
    return fmt::format("Hardly any more should be up by day {:.0f}; fill or resow the gaps then.",
                       waiting.until_day);
  const std::string sure = waiting.at_least < 1 ? ", perhaps none"
                                                : fmt::format(" (at least {:.0f} with a chance of {} %)",
                                                              waiting.at_least, percent(waiting.sure));
  return fmt::format("About {} more should be up by day {:.0f}{}. Then fill or resow the gaps.",
                     grouped(waiting.to_come), waiting.until_day, sure);
}

}  // namespace

std::string choice_words(const TrayOption& option, const TrayOptions& stand) {
  return action(option, stand) +
         (option.lag_days > 0 ? fmt::format(", {:.0f} days behind", option.lag_days) : "") +
         (option.in_time ? "" : ", too late");
}

std::string next_time_words(const AdviceReport& report) {
  if (report.batch.too_poor) return too_poor_words(report);
  return fmt::format("{} a cell: {}", counted(report.batch.chosen, "seed", "seeds"), why_so_many(report));
}

std::string too_poor_words(const AdviceReport& report) {
  if (report.stand && report.stand->rule.action == Action::look_at_picture)
    return "By this count no number of seeds would do, but the photo is in doubt: look at it first.";
  const BatchRow& most = report.batch.rows.back();
  const bool waits = report.stand && report.stand->too_poor && report.stand->too_early;
  return fmt::format("So few {}{} that even {} seeds a cell leave {} % of the cells below {}: {}.",
                     waits ? "are up yet" : "come up",
                     report.warmth && *report.warmth < 1 ? " at that temperature" : "", most.seeds_per_cell,
                     percent(most.below), counted(report.wanted.low, "plant", "plants"),
                     waits ? "judge the lot when more is up" : "this lot can't fill a bed; sow another one");
}

std::string reason(const StandAdvice& stand, const Economy& economy) {
  if (stand.rule.action == Action::look_at_picture) return stand.rule.what + " " + stand.rule.why;
  const TrayOption& best = stand.choices.options.front();
  // With nothing to come no table tells of the crop, so that the rule speaks.
  const auto& waiting = stand.choices.waiting;
  if (best.kind == OptionKind::wait && waiting && waiting->to_come > 0) return worth_waiting(*waiting);
  const std::string another = stand.too_poor && !stand.too_early
                                  ? " So few of this lot come up that only another one can fill the cells."
                                  : "";
  if (stand.ranked_by == RankedBy::rule) {
    const bool from_another = stand.rule.action == Action::fill_and_test_lot;
    return (from_another ? stand.rule.what + " " : "") + stand.rule.why + (from_another ? "" : another);
  }
  return costs(stand, economy) + another;
}

std::string where_wanted_from(const AdviceReport& report) {
  if (report.need || !report.stand) return "";
  return fmt::format("{} of {} cells, since up to {} % gaps are hardly worth filling",
                     grouped(report.stand->need), grouped(report.stand->choices.cells),
                     percent(report.economy.worth_filling));
}

std::string batch_reason(const AdviceReport& report) {
  const BatchAdvice& batch = report.batch;
  if (batch.too_poor) return too_poor_words(report);
  const double more = batch.second_costs_more;
  std::string words = why_so_many(report) + ".";
  words[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(words[0])));
  if (std::isfinite(more))
    words += fmt::format(" {} would {} {}{} a cell.", counted(batch.second, "seed", "seeds"),
                         more < 0 ? "save" : "cost", money(std::abs(more), report.economy),
                         more < 0 ? "" : " more");
  if (batch.chosen_if_poor != batch.chosen || batch.chosen_if_good != batch.chosen)
    words += fmt::format(" If the lot is better or worse than it looks, {} to {} would be right.",
                         std::min(batch.chosen_if_good, batch.chosen_if_poor),
                         std::max(batch.chosen_if_good, batch.chosen_if_poor));
  return words;
}

}  // namespace braird::cli
