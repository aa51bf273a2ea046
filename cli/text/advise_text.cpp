// SPDX-License-Identifier: Apache-2.0
#include "cli/text/advise_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <sstream>

#include "calibration/advice_remarks.h"
#include "calibration/figure_words.h"
#include "cli/text/advice_phrases.h"
#include "cli/text/wrapped.h"

namespace braird::cli {
namespace {

constexpr long kMostLines = 30;
constexpr std::size_t kWidth = 111;
constexpr std::size_t kMostChanges = 2;

std::string entry_line(const std::string& label, const std::string& words) {
  return fmt::format("{:<13}  {}\n", label, words);
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

std::string share_of_seed(double rate, const AdviceReport& report) {
  return report.sower.clusters ? fmt::format("{:.2f}", rate) : percent(rate);
}

// The rule waits, but no table tells what for.
bool may_come_untold(const AdviceReport& report) {
  return report.stand && report.stand->rule.until && report.stand->choices.waiting &&
         report.stand->choices.waiting->to_come == 0;
}

std::string germination(const AdviceReport& report) {
  const auto& [estimate, low, high, method] = report.in_the_end;
  const bool clusters = report.sower.clusters;
  const std::string of = clusters ? "seedlings a cluster" : "% of the seed",
                    range = fmt::format("95 % range {} to {}{}", share_of_seed(low, report),
                                        share_of_seed(high, report), clusters ? "" : " %");
  if (is_end_open(report) && report.seen && report.seen->germination_rate)
    return entry_line("Germination",
                      fmt::format("{} {} so far; how many in the end is open, {}",
                                  share_of_seed(report.seen->germination_rate->estimate, report), of, range));
  if (may_come_untold(report))
    return entry_line("Germination", fmt::format("{} {} so far, as if no more came; {}",
                                                 share_of_seed(estimate, report), of, range));
  std::string words = fmt::format("{} {} in the end, {}", share_of_seed(estimate, report), of, range);
  if (report.still_to_come > .005)
    words += fmt::format("; about {} % of that is still to come", percent(report.still_to_come));
  return entry_line("Germination", words);
}

std::string choice_row(const TrayOption& option, const TrayOptions& stand, bool first) {
  return fmt::format("  {} {:<47} {:>5.0f} {:>6.0f} {:>5.0f} {:>4.0f} {:>8.2f} {:>6} %\n", first ? '>' : ' ',
                     choice_words(option, stand), option.full_cells, option.plants, option.seeds,
                     option.minutes, option.money, percent_chance(option.chance));
}

std::string wanted(const AdviceReport& report) {
  const std::string from = where_wanted_from(report);
  if (from.empty()) return "";
  const bool by_rule = report.stand->ranked_by == RankedBy::rule;
  return entry_line("  Wanted",
                    from + (by_rule ? "; tell the bed (--bed, --rows, --spacing, or --cells), and the "
                                      "choices are ranked by cost."
                                    : "."));
}

std::string choices(const AdviceReport& report) {
  const StandAdvice& stand = *report.stand;
  const Economy& economy = report.economy;
  std::string text =
      fmt::format("\n{:<51} {:>5} {:>6} {:>5} {:>4} {:>8} {:>8}\n",
                  fmt::format("These trays    {} wanted full", counted(stand.need, "cell", "cells")), "full",
                  "plants", "seeds", "min", economy.currency, "chance");
  const auto& options = stand.choices.options;
  for (std::size_t at = 0; at < options.size(); ++at)
    text += choice_row(options[at], stand.choices, at == 0 && stand.first_is_advised);
  text += entry_line("  Why", reason(stand, economy));
  for (std::size_t at = 0; at < std::min(stand.changes.size(), kMostChanges); ++at)
    text += entry_line(at == 0 ? "  Unless" : "", stand.changes[at]);
  return text + wanted(report);
}

std::string batch_row_text(const BatchRow& row, const BatchAdvice& batch) {
  const std::string cost = std::isfinite(row.cost) ? fmt::format("{:.4f}", row.cost) : "-";
  return fmt::format("  {} {:>2} {:<9} {:>8} {:>8} {:>8} {:>8} {:>7.2f} {:>9}\n",
                     row.seeds_per_cell == batch.chosen && !batch.too_poor ? '>' : ' ', row.seeds_per_cell,
                     row.seeds_per_cell == 1 ? "seed" : "seeds", percent(row.empty), percent(row.below),
                     percent(row.within), percent(row.above), row.plants, cost);
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
  for (const std::string& sentence : cautions(seed)) words += (words.empty() ? "" : " ") + sentence;
  return entry_line("Care", words);
}

}  // namespace

std::string advise_text(const AdviceReport& report, const SeedKind& seed, std::size_t columns) {
  std::string page = heading(report) + germination(report);
  if (report.stand) page += choices(report);
  page += batch(report) + sowing(report);
  const std::string last = care(seed);
  const long room = kMostLines - lines_of(page, kWidth) - lines_of(last, kWidth);
  return for_terminal(page + fitting(suspects_and_notes(report), room, kWidth) + last,
                      columns > 0 ? std::min(columns, kWidth) : kWidth);
}

}  // namespace braird::cli
