// SPDX-License-Identifier: Apache-2.0
#include "cli/text/advise_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <sstream>

#include "calibration/figure_words.h"
#include "cli/text/wrapped.h"

namespace braird::cli {
namespace {

constexpr long kMostLines = 30;
constexpr std::size_t kWidth = 110;  // bytes; the few that are not ASCII make a line shorter
constexpr std::size_t kMostChanges = 2;

std::string money(double amount, const Economy& economy) {
  return fmt::format("{:.{}f} {}", amount, amount >= 0.0005 && amount < 0.0995 ? 3 : 2, economy.currency);
}

/// A label and words, wrapped; what does not fit on the first line is set in under the words.
std::string entry_line(const std::string& label, const std::string& words) {
  return hanging(fmt::format("{:<13} ", label), words, kWidth, 14);
}

std::string range(const Wanted& wanted) {
  return wanted.low == wanted.high ? fmt::format("{}", wanted.low)
                                   : fmt::format("{} to {}", wanted.low, wanted.high);
}

std::string heading(const AdviceReport& report) {
  std::string text = report.lot.empty() ? "This seed" : fmt::format("Lot {}", report.lot);
  if (!report.crop.empty()) text += fmt::format(", {}", report.crop);
  if (report.stand) {
    const TrayOptions& stand = report.stand->choices;
    text += fmt::format(": {}{}, {} full, {} empty, {}, {} to spare", counted(stand.cells, "cell", "cells"),
                        report.day ? fmt::format(" on day {:.0f}", *report.day) : "", stand.full, stand.empty,
                        counted(stand.plants, "plant", "plants"), stand.spare);
  }
  return text + "\n";
}

std::string germination(const AdviceReport& report) {
  const auto& [estimate, low, high, method] = report.in_the_end;
  std::string words = report.sower.clusters
                          ? fmt::format("{:.2f} seedlings a cluster in the end, 95 % range {:.2f} to {:.2f}",
                                        estimate, low, high)
                          : fmt::format("{} % of the seed in the end, 95 % range {} to {} %",
                                        percent(estimate), percent(low), percent(high));
  if (report.still_to_come > .005)
    words += fmt::format("; about {} % of that is still to come", percent(report.still_to_come));
  return entry_line("Germination", words);
}

std::string choice_row(const TrayOption& option, const TrayOptions& stand, bool first) {
  return fmt::format("  {} {:<47} {:>5.0f} {:>6.0f} {:>5.0f} {:>4.0f} {:>8.2f} {:>6} %\n", first ? '>' : ' ',
                     choice_words(option, stand), option.full_cells, option.plants, option.seeds,
                     option.minutes, option.money, percent_chance(option.chance));
}

std::string choices(const StandAdvice& stand, const Economy& economy) {
  std::string text =
      fmt::format("\n{:<51} {:>5} {:>6} {:>5} {:>4} {:>8} {:>8}\n",
                  fmt::format("These trays   {} wanted full", counted(stand.need, "cell", "cells")), "full",
                  "plants", "seeds", "min", economy.currency, "chance");
  const auto& options = stand.choices.options;
  for (std::size_t at = 0; at < options.size(); ++at)
    text += choice_row(options[at], stand.choices, at == 0 && stand.first_is_advised);
  text += entry_line("  Why", reason(stand, economy));
  for (std::size_t at = 0; at < std::min(stand.changes.size(), kMostChanges); ++at)
    text += entry_line(at == 0 ? "  Unless" : "", stand.changes[at]);
  return text;
}

std::string batch_row_text(const BatchRow& row, const BatchAdvice& batch) {
  const std::string cost = std::isfinite(row.cost) ? fmt::format("{:.4f}", row.cost) : "-";
  return fmt::format("  {} {:>2} {:<9} {:>8} {:>8} {:>8} {:>8} {:>7.2f} {:>9}\n",
                     row.seeds_per_cell == batch.chosen && !batch.too_poor ? '>' : ' ', row.seeds_per_cell,
                     row.seeds_per_cell == 1 ? "seed" : "seeds", percent(row.empty), percent(row.below),
                     percent(row.within), percent(row.above), row.plants, cost);
}

std::string why_so_many(const AdviceReport& report) {
  if (report.batch.by == ChosenBy::cost) return "the least cost of a usable cell";
  const BatchRow& row = report.batch.rows[static_cast<std::size_t>(report.batch.chosen - 1)];
  const double missed = report.sower.missed, limit = report.economy.gap_limit;
  if (row.below > missed + (1 - missed) * limit)
    return fmt::format("no number keeps cells below {} to {} %; more seeds hardly help",
                       counted(report.wanted.low, "plant", "plants"), percent(limit));
  return fmt::format("the fewest seeds with at most {} % of the cells below {}{}", percent(limit),
                     counted(report.wanted.low, "plant", "plants"), missed > 0 ? ", missed cells aside" : "");
}

std::string batch_reason(const AdviceReport& report) {
  const BatchAdvice& batch = report.batch;
  if (batch.too_poor) return too_poor_words(report);
  const double more = batch.second_costs_more;
  std::string words = why_so_many(report);
  if (std::isfinite(more))
    words += fmt::format("; {} would cost {} {} a cell", counted(batch.second, "seed", "seeds"),
                         money(std::abs(more), report.economy), more < 0 ? "less" : "more");
  if (batch.chosen_if_poor != batch.chosen || batch.chosen_if_good != batch.chosen)
    words += fmt::format("; over the range of germination {} to {}",
                         std::min(batch.chosen_if_good, batch.chosen_if_poor),
                         std::max(batch.chosen_if_good, batch.chosen_if_poor));
  return words + ".";
}

std::string batch(const AdviceReport& report) {
  std::string text = fmt::format("\n{:<16} {:>8} {:>8} {:>8} {:>8} {:>7} {:>9}\n", "Next batch  %", "empty",
                                 "below", range(report.wanted), "above", "plants", report.economy.currency);
  for (const BatchRow& row : rows_around_chosen(report.batch)) text += batch_row_text(row, report.batch);
  return text + entry_line("  Why", batch_reason(report));
}

std::string packs(const AdviceReport& report) {
  if (report.order.packs.empty()) return "";
  return fmt::format(
      "; order {} in {}{}", counted(report.order.seeds, "seed", "seeds"),
      counted(std::accumulate(report.order.packs.begin(), report.order.packs.end(), 0), "pack", "packs"),
      report.order.price > 0 ? " for " + money(report.order.price, report.economy) : "");
}

std::string sowing(const AdviceReport& report) {
  if (report.batch.too_poor) return "";
  if (!report.no_sowing.empty()) return fmt::format("\n{}", entry_line("How much", report.no_sowing));
  if (!report.sowing)
    return fmt::format(
        "\n{}", entry_line("How much",
                           "tell the bed (--bed, --rows, --spacing, or --cells) to know how much to sow."));
  const SowingPlan& plan = *report.sowing;
  std::string text = "\n";
  text += entry_line(
      "How much",
      fmt::format("{} {:.2f} trays; sow {} in {}, {} ({} a tray){}",
                  counted(plan.need, "cell fills", "cells fill"), plan.bed_trays,
                  counted(plan.cells, "cell", "cells"), counted(plan.trays, "tray", "trays"),
                  counted(plan.seeds, "seed", "seeds"), grouped(plan.seeds_per_tray), packs(report)));
  return text +
         entry_line(
             "",
             fmt::format(
                 "Chance of enough full cells {} % (asked: {} %); with all trays full to the rim {} %.",
                 percent_chance(plan.chance), percent(plan.assurance), percent_chance(plan.chance_of_trays)));
}

/// Whoever is not suspected has to wait for room.
std::vector<Entry> suspects_and_notes(const AdviceReport& report) {
  std::vector<Entry> entries;
  for (const Suspicion& suspicion : report.suspicions)
    entries.push_back({entry_line(entries.empty() ? "Is it the lot" : "",
                                  fmt::format("{} ({}): {}", suspicion.suspect, name_of(suspicion.weight),
                                              suspicion.sentence)),
                       suspicion.weight != Suspected::unlikely});
  for (const std::string& remark : report.remarks) entries.push_back({entry_line("Note", remark)});
  return entries;
}

std::string care(const SeedKind& seed) {
  std::string words;
  for (const std::string& sentence : cautions(seed)) words += sentence + " ";
  return entry_line("Care", words);
}

}  // namespace

std::string choice_words(const TrayOption& option, const TrayOptions& stand) {
  const std::string behind = option.lag_days > 0 ? fmt::format(", {:.0f} days behind", option.lag_days) : "";
  const std::string late = option.in_time ? "" : ", too late";
  switch (option.kind) {
    case OptionKind::accept:
      return "leave them as they are";
    case OptionKind::wait:
      return fmt::format("wait until day {:.0f}", stand.waiting ? std::ceil(stand.waiting->until_day) : 0);
    case OptionKind::fill:
      return fmt::format("fill {}, {} stay", counted(option.cells, "gap", "gaps"),
                         stand.empty - option.cells);
    case OptionKind::resow_gaps:
      return fmt::format("resow {}{}{}", counted(option.cells, "gap", "gaps"), behind, late);
    case OptionKind::fresh_tray:
      return fmt::format("sow {}{}{}", counted(option.trays, "fresh tray", "fresh trays"), behind, late);
  }
  return "";
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
  if (best.kind == OptionKind::wait && stand.choices.waiting) {
    const WorthWaiting& waiting = *stand.choices.waiting;
    const std::string least = waiting.at_least < 1 ? "perhaps none"
                                                   : fmt::format("with {} % at least {:.0f}",
                                                                 percent(waiting.sure), waiting.at_least);
    return fmt::format("about {} more by day {:.0f}, {}; then fill or resow what is missing.",
                       counted(waiting.to_come, "seedling", "seedlings"), waiting.until_day, least);
  }
  const std::string another = stand.too_poor && !stand.too_early
                                  ? " So few of this lot come up that only another one can fill the cells."
                                  : "";
  if (stand.ranked_by == RankedBy::rule) {
    const bool from_another = stand.rule.action == Action::fill_and_test_lot;
    return (from_another ? stand.rule.what + " " : "") + stand.rule.why + (from_another ? "" : another);
  }
  std::string words = fmt::format("spends {} and leaves ", money(best.money, economy));
  words += best.missing < .5
               ? "hardly a cell missing"
               : fmt::format("about {} missing, worth {}", counted(best.missing, "cell", "cells"),
                             money(best.missing * economy.full_cell_worth, economy));
  if (stand.choices.options.size() > 1)
    words += fmt::format("; the next best costs {} more",
                         money(stand.choices.options[1].cost - best.cost, economy));
  const auto sure = std::ranges::find_if(
      stand.choices.options, [&](const TrayOption& option) { return option.chance >= economy.assurance; });
  if (best.chance < economy.assurance && sure != stand.choices.options.end())
    words += fmt::format("; to be {} % sure of the bed: {}", percent(economy.assurance),
                         choice_words(*sure, stand.choices));
  return words + "." + another;
}

std::string advise_text(const AdviceReport& report, const SeedKind& seed) {
  std::string page = heading(report) + germination(report);
  if (report.stand) page += choices(*report.stand, report.economy);
  page += batch(report) + sowing(report);
  const std::string last = care(seed);
  return page + fitting(suspects_and_notes(report), kMostLines - lines_of(page) - lines_of(last)) + last;
}

}  // namespace braird::cli
