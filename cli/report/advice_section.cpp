// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "calibration/figure_words.h"
#include "cli/report/html.h"
#include "cli/report/sections.h"
#include "cli/report/words.h"
#include "cli/text/advice_phrases.h"

namespace braird::report {
namespace {

std::string plain(double number) {
  return fmt::format("{:.0f}", number);
}

/// A share of a hundred as a bar behind its figure.
std::string bar_cell(double share) {
  return fmt::format("<span class=\"cellbar\" style=\"--share:{:.0f}%\">{}</span>", 100 * share,
                     escaped(percent(share)));
}

/// On one sheet, where it is printed.
std::string kept_together(const std::string& html) {
  return fmt::format("<section class=\"keep\">\n{}</section>\n", html);
}

std::string wanted_words(const Wanted& wanted) {
  return wanted.low == wanted.high ? fmt::format("{}", wanted.low)
                                   : fmt::format("{} to {}", wanted.low, wanted.high);
}

}  // namespace

std::string choices_section(const AdviceReport& advice) {
  if (!advice.stand) return "";
  const StandAdvice& stand = *advice.stand;
  Table table{words::kWhatToDo,
              {words::kChoice, words::kFullCells, words::kPlants, words::kSeeds, words::kMinutes,
               advice.economy.currency, fmt::format(words::kChance, counted(stand.need, words::kCells))},
              {},
              stand.first_is_advised ? 0 : -1};
  for (const TrayOption& option : stand.choices.options)
    table.rows.push_back({escaped(cli::choice_words(option, stand.choices)), plain(option.full_cells),
                          plain(option.plants), plain(option.seeds), plain(option.minutes),
                          fmt::format("{:.2f}", option.money), escaped(percent_chance(option.chance))});
  std::string html =
      heading(3, words::kWhatToDo) + html_of(table) + paragraph(cli::reason(stand, advice.economy), "why");
  for (const std::string& change : stand.changes) html += paragraph(change, "note");
  if (const std::string from = cli::where_wanted_from(advice); !from.empty())
    html += paragraph(fmt::format(words::kWantedFrom, from), "note");
  html += paragraph(words::kRankByCost, "note");
  return kept_together(html);
}

std::string next_batch_section(const AdviceReport& advice, const std::string& count_first) {
  const BatchAdvice& batch = advice.batch;
  Table table{words::kNextBatch,
              {words::kSeeds, words::kEmptyShare, words::kBelow,
               fmt::format(words::kWithin, wanted_words(advice.wanted)), words::kAbove, words::kPlants,
               fmt::format(words::kCost, advice.economy.currency)},
              {}};
  for (const BatchRow& row : rows_around_chosen(batch)) {
    const bool chosen = row.seeds_per_cell == batch.chosen && !batch.too_poor;
    if (chosen) table.chosen = static_cast<int>(table.rows.size());
    table.rows.push_back({fmt::format("{}{}", row.seeds_per_cell,
                                      chosen ? fmt::format(" <em>{}</em>", words::kRecommended) : ""),
                          bar_cell(row.empty), bar_cell(row.below), bar_cell(row.within), bar_cell(row.above),
                          fmt::format("{:.2f}", row.plants),
                          std::isfinite(row.cost) ? fmt::format("{:.4f}", row.cost) : "-"});
  }
  return kept_together(
      heading(3, words::kNextBatch) +
      (count_first.empty() ? "" : paragraph(fmt::format(words::kNote, count_first), "note")) +
      paragraph(words::kNextAmong) + html_of(table) +
      (batch.too_poor ? paragraph(cli::too_poor_words(advice), "why") : ""));
}

}  // namespace braird::report
