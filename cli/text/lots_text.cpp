// SPDX-License-Identifier: Apache-2.0
#include "cli/text/lots_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "calibration/figure_words.h"
#include "cli/text/advice_phrases.h"
#include "cli/text/method_words.h"
#include "cli/text/rate_text.h"
#include "cli/text/wrapped.h"
#include "cli/tray_labels.h"

namespace braird::cli {
namespace {

using ledger::LotSummary;
using ledger::SowingSummary;

/// "88 % (79 to 96)", or a dash.
std::string rate(const std::optional<Estimate>& of, const char* unit = " %") {
  return of ? fmt::format("{}{} ({} to {})", percent(of->estimate), unit, percent(of->low), percent(of->high))
            : "-";
}

/// "88 (79 to 96)", below a heading that says %.
std::string figure(const std::optional<Estimate>& of) {
  return rate(of, "");
}

std::string signed_points(const Estimate& change) {
  return fmt::format("{:+.0f} points ({:+.0f} to {:+.0f})", 100 * change.estimate, 100 * change.low,
                     100 * change.high);
}

std::string padded(const std::string& text, std::size_t width) {
  return fmt::format("{}{:{}}", text, "", width > columns(text) ? width - columns(text) : 0);
}

/// Columns as wide as their widest entry, two blanks between.
std::string table(const std::vector<std::vector<std::string>>& rows) {
  std::vector<std::size_t> widths(rows.at(0).size());
  for (const auto& row : rows)
    for (std::size_t at = 0; at < row.size(); ++at) widths[at] = std::max(widths[at], columns(row[at]));
  std::string text;
  for (const auto& row : rows) {
    std::string line = "  ";
    for (std::size_t at = 0; at < row.size(); ++at) line += padded(row[at], widths[at] + 2);
    text += fmt::format("{}\n", std::string_view(line).substr(0, line.find_last_not_of(' ') + 1));
  }
  return text;
}

std::string pack_words(const LotSummary& lot) {
  std::string words;
  if (lot.facts.stated_percent) words += fmt::format("pack {:.0f} %", *lot.facts.stated_percent);
  if (lot.legal_minimum_percent)
    words += fmt::format("{}law {} %", words.empty() ? "" : ", ", *lot.legal_minimum_percent);
  return words.empty() ? "-" : words;
}

std::string facts_line(const LotSummary& lot) {
  std::string line = fmt::format("Lot {}", lot.facts.name);
  for (const auto& fact : {lot.facts.crop, lot.facts.variety})
    if (fact) line += fmt::format(", {}", *fact);
  if (lot.facts.supplier) line += fmt::format(", from {}", *lot.facts.supplier);
  if (lot.facts.tested_on) line += fmt::format(", tested on {}", *lot.facts.tested_on);
  if (lot.facts.treated) line += *lot.facts.treated ? ", treated" : ", untreated";
  return line + "\n";
}

std::string correction_line(const LotSummary& lot) {
  if (lot.error_checks == 0) return "";
  return fmt::format(
      "  Rates are corrected by the counter's error in {} cells that were checked by hand.{}\n",
      lot.error_checks, uncorrected_words(lot));
}

std::string left_out_words(int photos) {
  return counted(photos, "early photo", "early photos") +
         " with next to nothing up and no tag: which tray it is can't be told";
}

std::string too_young_words(int trays) {
  return fmt::format("{} left out of germination and gaps: more may come up in {}",
                     counted(trays, "tray is", "trays are"), trays == 1 ? "it" : "them");
}

std::string label_line(const char* label, const std::string& words) {
  return fmt::format("  {:<12} {}\n", label, words);
}

std::vector<std::string> sowing_row(const SowingSummary& sowing) {
  const auto day = [](const std::optional<double>& value) {
    return value ? fmt::format("{:.1f}", *value) : "-";
  };
  return {sowing.facts.sown_on.value_or("-"),
          tray_words(sowing.facts.layout),
          sowing.facts.seeds_per_cell ? std::to_string(*sowing.facts.seeds_per_cell) : "-",
          std::to_string(sowing.tally.trays),
          figure(sowing.germination),
          figure(sowing.gaps),
          day(sowing.last_day),
          day(sowing.t50),
          sowing.still_rising ? "still rising" : figure(sowing.in_the_end)};
}

std::string sowings_table(const LotSummary& lot) {
  std::vector<std::vector<std::string>> rows = {
      {"Sown on", "Tray", "Seeds", "Trays", "Germination %", "Gaps %", "Day", "Half up", "In the end %"}};
  for (const SowingSummary& sowing : lot.sowings) rows.push_back(sowing_row(sowing));
  return table(rows);
}

std::string decision_line(const ledger::Decision& decision) {
  std::string line = fmt::format("  {}  ", decision.decided_on.value_or("(no day)"));
  if (decision.tag) line += fmt::format("tray {}: ", *decision.tag);
  if (decision.sown_on) line += fmt::format("sown on {}: ", *decision.sown_on);
  return fmt::format("{}{}\n", line, decision.words);
}

std::string details(const LotDetail& lot) {
  std::string text;
  if (lot.report) {
    for (const Finding& finding : lot.report->findings)
      text += label_line(
          "Look here",
          (lot.report->trays > 1 && !finding.tray.empty() ? finding.tray + ": " : "") + finding.sentence);
    if (lot.report->overdispersion)
      if (const std::string words = shared_fate_words(*lot.report->overdispersion); !words.empty())
        text += label_line("Shared fate", words);
  }
  int gone = 0;
  for (const ledger::TrayCourse& course : lot.courses) gone += died_back(course);
  if (gone > 0) text += label_line("Died back", counted(gone, "cell", "cells") + "; --cells shows which");
  if (const std::string words = count_first_words(lot); !words.empty())
    text += label_line("Next time", words);
  if (lot.advice) text += label_line("Next time", next_time_words(*lot.advice));
  return text;
}

}  // namespace

std::string uncorrected_words(const LotSummary& lot) {
  std::vector<std::string> kinds;
  for (const SowingSummary& sowing : lot.sowings) {
    if (lot.error_checks == 0 || sowing.error_checks > 0 || sowing.tally.trays == 0) continue;
    std::string kind = tray_words(sowing.facts.layout);
    if (const auto seeds = sowing.facts.seeds_per_cell)
      kind += fmt::format(" with {} a cell", counted(*seeds, "seed", "seeds"));
    if (std::ranges::count(kinds, kind) == 0) kinds.push_back(kind);
  }
  if (kinds.empty()) return "";
  return fmt::format(" Those of {} are not: too few cells of such trays were checked.",
                     fmt::join(kinds, " and of "));
}

std::string lots_text(const std::vector<LotSummary>& lots) {
  std::vector<std::vector<std::string>> rows = {
      {"Lot", "Crop", "Sowings", "Trays", "Germination %", "Gaps %", "Trend", "Should be"}};
  for (const LotSummary& lot : lots)
    rows.push_back({fmt::format("{}{}", lot.suspicions.empty() ? "" : "! ", lot.facts.name),
                    lot.facts.crop.value_or("-"), std::to_string(days_of_sowing(lot)),
                    std::to_string(lot.tally.trays), figure(lot.germination), figure(lot.gaps),
                    lot.trend ? fmt::format("{:+.0f}", 100 * lot.trend->estimate) : "-", pack_words(lot)});
  std::string text = table(rows);
  for (const LotSummary& lot : lots)
    for (const std::string& suspicion : lot.suspicions)
      text += fmt::format("\n  ! {}: {}", lot.facts.name, suspicion);
  if (text.back() != '\n') text += "\n";
  for (const LotSummary& lot : lots)
    if (lot.tally.left_out > 0)
      text += fmt::format("\n  {} leaves out {}.\n", lot.facts.name, left_out_words(lot.tally.left_out));
  for (const LotSummary& lot : lots)
    if (lot.too_young > 0)
      text += fmt::format("\n  {}: {}.\n", lot.facts.name, too_young_words(lot.too_young));
  const auto corrected =
      std::ranges::count_if(lots, [](const LotSummary& lot) { return lot.error_checks > 0; });
  if (corrected > 0)
    text += fmt::format(
        "\n  Rates of {} are corrected by the counter's error in cells that were checked by hand.\n",
        counted(static_cast<double>(corrected), "lot", "lots"));
  return text;
}

std::string count_first_words(const LotDetail& lot) {
  if (lot.more_until)
    return fmt::format("count again first: more may come up until about day {}", *lot.more_until);
  return lot.still_rising ? "count again first: the latest sowing still rises" : "";
}

std::string lot_text(const LotDetail& detail) {
  const LotSummary& lot = detail.summary;
  std::string text = facts_line(lot);
  text += label_line("Counted", fmt::format("{}, {}, {}, {}", counted(lot.tally.trays, "tray", "trays"),
                                            counted(lot.tally.cells, "cell", "cells"),
                                            counted(lot.tally.empty, "gap", "gaps"),
                                            counted(lot.tally.seedlings, "seedling", "seedlings")));
  if (lot.tally.left_out > 0) text += label_line("Left out", left_out_words(lot.tally.left_out));
  if (lot.too_young > 0) text += label_line("Too young", too_young_words(lot.too_young));
  text += label_line("Germination", lot.germination        ? fmt::format("{}   {}", rate(lot.germination),
                                                                         method_words(lot.germination->method))
                                    : lot.tally.trays == 0 ? "nothing counted yet"
                                                           : "not known; tell the seeds a cell");
  text += label_line("Gaps", rate(lot.gaps));
  if (lot.trend)
    text += label_line("Trend", signed_points(*lot.trend) + ", the latest sowing against the earlier ones");
  text += label_line("Should be", pack_words(lot));
  text += details(detail) + correction_line(lot);
  for (const std::string& suspicion : lot.suspicions) text += fmt::format("  ! {}\n", suspicion);
  if (!lot.sowings.empty()) text += fmt::format("\n{}", sowings_table(lot));
  if (!detail.decisions.empty()) text += "\n";
  for (const ledger::Decision& decision : detail.decisions) text += decision_line(decision);
  return text;
}

}  // namespace braird::cli
