// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>

#include "cli/report/html.h"
#include "cli/report/plots.h"
#include "cli/report/sections.h"
#include "cli/report/tray_map.h"
#include "cli/report/words.h"
#include "cli/tray_labels.h"

namespace braird::report {
namespace {

using ledger::LotSummary;
using ledger::SowingSummary;

std::vector<Mark> marks_of(const LotSummary& lot) {
  std::vector<Mark> marks;
  if (lot.legal_minimum_percent)
    marks.push_back(
        {*lot.legal_minimum_percent / 100., fmt::format(words::kLaw, *lot.legal_minimum_percent)});
  if (lot.facts.stated_percent)
    marks.push_back({*lot.facts.stated_percent / 100, fmt::format(words::kPack, *lot.facts.stated_percent)});
  return marks;
}

std::string facts_words(const LotSummary& lot) {
  std::string text;
  for (const auto& fact : {lot.facts.crop, lot.facts.variety, lot.facts.supplier})
    if (fact) text += fmt::format("{}{}", text.empty() ? "" : " · ", *fact);
  return text;
}

std::string sowings_table(const LotSection& lot) {
  Table table{words::kSowings,
              {words::kSownOn, words::kTrayKind, words::kSeedsSown, words::kTraysCounted, words::kGermination,
               words::kGaps, words::kAge, words::kHalfUp, words::kInTheEnd},
              {}};
  const auto day = [](const std::optional<double>& value) {
    return value ? fmt::format("{:.1f}", *value) : "-";
  };
  for (const SowingReport& report : lot.sowings) {
    const SowingSummary& sowing = report.summary;
    table.rows.push_back({whole(sowing.facts.sown_on.value_or("-")),
                          whole(cli::label_words(sowing.facts.layout)),
                          sowing.facts.seeds_per_cell ? std::to_string(*sowing.facts.seeds_per_cell) : "-",
                          std::to_string(sowing.tally.trays), rate_cell(sowing.germination),
                          rate_cell(sowing.gaps), day(sowing.last_day), day(sowing.t50),
                          sowing.still_rising ? escaped(words::kStillRising) : rate_cell(sowing.in_the_end)});
  }
  return html_of(table);
}

std::string trend(const LotSection& lot) {
  const std::string figure = trend_figure(lot);
  if (figure.empty()) return "";
  const auto& change = lot.detail.summary.trend;
  return beside(figure, change ? paragraph(fmt::format(words::kTrendWords, 100 * change->estimate,
                                                       100 * change->low, 100 * change->high))
                               : "");
}

/// Is it about a single tray?
bool lone(const LotSection& lot) {
  return lot.sowings.size() == 1 && lot.sowings[0].trays.size() == 1;
}

/// What is known of a lot, and of its lone tray, in one line; the page's title names one of them.
std::string about(const LotSection& lot, Scope scope) {
  if (!lone(lot)) return facts_words(lot.detail.summary);
  const SowingReport& sowing = lot.sowings.at(0);
  const TrayReport& tray = sowing.trays.at(0);
  std::string text =
      scope == Scope::trays ? fmt::format(words::kLot, lot.detail.summary.facts.name) : tray_title(tray);
  const std::string taken = tray.taken ? fmt::format(words::kTaken, tray.taken->substr(0, 10)) : "";
  for (const std::string& more :
       {facts_words(lot.detail.summary), sowing_title(sowing.summary), sowing_words(sowing.summary), taken})
    if (!more.empty()) text += fmt::format(" · {}", more);
  return text;
}

std::string suspicions(const LotSummary& lot) {
  std::string html;
  for (const std::string& suspicion : lot.suspicions) html += paragraph(suspicion, "suspicion");
  return html;
}

std::string decisions(const cli::LotDetail& lot) {
  std::string html;
  for (const ledger::Decision& decision : lot.decisions)
    html += paragraph(fmt::format("{}: {}{}{}", words::kDecided, decision.decided_on.value_or(""),
                                  decision.decided_on ? ", " : "", decision.words),
                      "note");
  return html;
}

/// The latest sowing's trays at a glance.
std::string wall(const LotSection& lot) {
  constexpr std::size_t most = 8;
  std::string html;
  if (!lot.sowings.empty())
    for (std::size_t at = 0; at < std::min(most, lot.sowings[0].trays.size()); ++at)
      html += gap_picture(lot.sowings[0].trays[at]);
  return fmt::format("<span class=\"wall\">{}</span>", html);
}

std::string content(const LotSection& lot, Shown shown) {
  const LotSummary& summary = lot.detail.summary;
  std::string html = suspicions(summary);
  if (summary.tally.trays == 0)
    html += paragraph(words::kNothingCounted, "note");
  else if (!lone(lot))
    html += "<div class=\"rates\">" +
            rate_figure(words::kGermination, summary.germination, marks_of(summary)) +
            rate_figure(words::kGaps, summary.gaps) + "</div>\n";
  if (const int left_out = summary.tally.left_out; left_out > 0)
    html += paragraph(fmt::format(fmt::runtime(words::kLeftOut[left_out != 1]), left_out), "note");
  if (summary.too_young > 0)
    html += paragraph(fmt::format(fmt::runtime(words::kTooYoung[summary.too_young != 1]), summary.too_young),
                      "note");
  if (summary.error_checks > 0)
    html += paragraph(fmt::format(words::kCorrected, summary.error_checks) + cli::uncorrected_words(summary),
                      "note");
  if (!lone(lot) && summary.tally.hand_checked > 0)
    html += paragraph(fmt::format(fmt::runtime(words::kHandChecked[summary.tally.hand_checked != 1]),
                                  summary.tally.hand_checked),
                      "note");
  html += trend(lot);
  if (lot.sowings.size() > 1) html += sowings_table(lot);
  html += decisions(lot.detail);
  for (std::size_t at = 0; at < lot.sowings.size(); ++at)
    html += sowing_section(lot.sowings[at], at > 0                               ? Shown::folded
                                            : shown == Shown::alone && lone(lot) ? Shown::alone
                                                                                 : Shown::open);
  return html;
}

}  // namespace

std::string trend_figure(const LotSection& lot) {
  std::vector<TrendPoint> points;
  for (const SowingReport& sowing : lot.sowings)
    if (sowing.summary.facts.sown_on && sowing.summary.germination)
      points.insert(points.begin(), {*sowing.summary.facts.sown_on, *sowing.summary.germination});
  if (points.size() < 2) return "";
  return fmt::format("<figure class=\"half\"><figcaption>{}</figcaption>{}</figure>\n",
                     escaped(words::kTrend), trend_plot(points, marks_of(lot.detail.summary)));
}

std::string lot_section(const LotSection& lot, Shown shown, Scope scope) {
  const LotSummary& summary = lot.detail.summary;
  const std::string html = content(lot, shown);
  const std::string title = escaped(fmt::format(words::kLot, summary.facts.name)),
                    facts = escaped(facts_words(summary));
  const std::string anchor = lot_anchor(summary.facts.name);
  if (shown == Shown::alone)
    return fmt::format("<section class=\"lot\" id=\"{}\">\n{}{}</section>\n", anchor,
                       paragraph(about(lot, scope), "about"), html);
  if (shown == Shown::open)
    return fmt::format(
        "<section class=\"lot\" id=\"{}\"><h2 class=\"lot-name\">{} <small>{}</small></h2>\n{}</section>\n",
        anchor, title, facts, html);
  return fmt::format(
      "<details class=\"lot\" id=\"{}\"><summary><h2>{} <small>{}</small></h2>{}</summary>\n{}<p "
      "class=\"to-top\"><a "
      "href=\"#top\">{}</a></p></details>\n",
      anchor, title, facts, wall(lot), html, escaped(words::kToTop));
}

std::string lots_table(const std::vector<LotSection>& lots) {
  Table table{words::kLots,
              {words::kLots, words::kCrop, words::kTraysCounted, words::kGermination, "", words::kGaps,
               words::kTrendShort},
              {}};
  for (const LotSection& section : lots) {
    const LotSummary& lot = section.detail.summary;
    const std::string warning =
        lot.suspicions.empty() ? "" : fmt::format(" <em class=\"warn\">{}</em>", escaped(words::kSuspicious));
    table.rows.push_back(
        {fmt::format("<a href=\"#{}\">{}</a>{}", lot_anchor(lot.facts.name), escaped(lot.facts.name),
                     warning),
         escaped(lot.facts.crop.value_or("-")), std::to_string(lot.tally.trays), rate_cell(lot.germination),
         lot.germination ? rate_bar(words::kGermination, *lot.germination) : "", rate_cell(lot.gaps),
         lot.trend ? fmt::format("{:+.0f}", 100 * lot.trend->estimate) : "-"});
  }
  return html_of(table);
}

std::string lot_anchor(const std::string& name) {
  std::string anchor = "lot";
  for (const char letter : name) anchor += fmt::format("-{:x}", static_cast<unsigned char>(letter));
  return anchor;
}

}  // namespace braird::report
