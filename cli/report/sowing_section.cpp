// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "calibration/profiles.h"
#include "cli/report/html.h"
#include "cli/report/plots.h"
#include "cli/report/sections.h"
#include "cli/report/words.h"
#include "cli/tray_labels.h"

namespace braird::report {
namespace {

using ledger::SowingSummary;

/// Is its advice on trays of another kind, too, sown on the same day?
bool is_advised_with_others(const SowingReport& sowing) {
  return sowing.advice && sowing.advice->seen && sowing.advice->seen->trays > sowing.summary.tally.trays;
}

std::string spread(const SowingReport& sowing) {
  const std::string figure = spread_figure(sowing);
  if (figure.empty()) return "";
  std::string html;
  if (sowing.trays.size() == 1 && sowing.trays[0].evidence.explanation)
    html += paragraph(sowing.trays[0].evidence.explanation->sentence);
  if (sowing.trays.size() > 1 && sowing.advice && sowing.advice->seen && sowing.advice->seen->gaps &&
      !is_advised_with_others(sowing))
    html += paragraph(sowing.advice->seen->gaps->sentence);
  return beside(figure, html);
}

std::string sowing_rates(const SowingSummary& sowing) {
  return "<div class=\"rates\">" + rate_figure(words::kGermination, sowing.germination) +
         rate_figure(words::kGaps, sowing.gaps) +
         (sowing.in_the_end ? rate_figure(words::kInTheEnd, sowing.in_the_end) : "") + "</div>\n";
}

std::string content(const SowingReport& sowing, Shown shown) {
  std::string html;
  if (sowing.trays.size() > 1) html += sowing_rates(sowing.summary);
  const Shown trays = sowing.trays.size() > 1 ? Shown::folded
                      : shown == Shown::alone ? Shown::alone
                                              : Shown::open;
  html += trays == Shown::folded ? "<div class=\"trays\">" : "";
  for (const TrayReport& tray : sowing.trays) html += tray_section(tray, trays);
  html += trays == Shown::folded ? "</div>\n" : "";
  html += spread(sowing);
  if (is_advised_with_others(sowing))
    html += paragraph(fmt::format(words::kForAllSown, sowing.advice->seen->trays), "note");
  if (sowing.advice)
    html += choices_section(*sowing.advice) + next_batch_section(*sowing.advice, sowing.count_first);
  return html;
}

}  // namespace

std::string sowing_title(const SowingSummary& sowing) {
  return sowing.facts.sown_on ? fmt::format(words::kSowing, *sowing.facts.sown_on) : words::kSowingWithoutDay;
}

std::string sowing_words(const SowingSummary& sowing) {
  std::string text =
      fmt::format("{}, {}", counted(sowing.tally.trays, words::kTrays), cli::tray_words(sowing.facts.layout));
  if (const auto seeds = sowing.facts.seeds_per_cell)
    text += fmt::format(", {}", fmt::format(fmt::runtime(words::kSeedsACell[*seeds != 1]), *seeds));
  if (sowing.last_day) text += fmt::format(", {}", fmt::format(words::kDay, *sowing.last_day));
  return text;
}

std::string beside(const std::string& figure, const std::string& words) {
  return fmt::format("<div class=\"beside\">{}<div>{}</div></div>\n", figure, words);
}

std::string rate_cell(const std::optional<Estimate>& rate) {
  return rate ? fmt::format("{} <small>({})</small>", escaped(rate_words(*rate)), escaped(range_words(*rate)))
              : "-";
}

std::string spread_figure(const SowingReport& sowing) {
  if (!sowing.summary.facts.seeds_per_cell || sowing.trays.empty()) return "";
  std::vector<int> counts;
  for (const TrayReport& tray : sowing.trays)
    for (const Cell& cell : tray.tray.cells) counts.push_back(cell.count);
  CountSpread spread = count_spread(counts, *sowing.summary.facts.seeds_per_cell);
  if (seed_kind(sowing.trays[0].tray.crop) == SeedKind::cluster) spread.by_chance.clear();
  return fmt::format("<figure class=\"half\"><figcaption>{}</figcaption>{}</figure>\n",
                     escaped(words::kSpread), spread_plot(spread));
}

std::string rate_figure(const char* name, const std::optional<Estimate>& rate,
                        const std::vector<Mark>& marks) {
  if (!rate)
    return fmt::format("<div class=\"rate\"><span>{}</span> <i>{}</i></div>", escaped(name),
                       escaped(words::kNoSeeds));
  return fmt::format("<div class=\"rate\"><span>{}</span> <b>{}</b> <span class=\"range\">{}</span>{}</div>",
                     escaped(name), escaped(rate_words(*rate)), escaped(range_words(*rate)),
                     rate_bar(name, *rate, marks));
}

std::string sowing_section(const SowingReport& sowing, Shown shown) {
  const std::string title = escaped(sowing_title(sowing.summary)),
                    more = escaped(sowing_words(sowing.summary));
  std::string html = content(sowing, shown);
  if (shown == Shown::alone) return html;
  if (shown == Shown::open)
    return fmt::format("<section class=\"sowing\"><h2>{} <small>{}</small></h2>\n{}</section>\n", title, more,
                       html);
  return fmt::format(
      "<details class=\"sowing\"><summary><b>{}</b> <small>{}</small> {}</summary>\n{}</details>\n", title,
      more, rate_cell(sowing.summary.germination), html);
}

}  // namespace braird::report
