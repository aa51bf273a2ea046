// SPDX-License-Identifier: Apache-2.0
#include "cli/text/answer.h"

#include <fmt/format.h>

#include <algorithm>

#include "calibration/advice.h"
#include "calibration/figure_words.h"
#include "calibration/findings.h"
#include "cli/text/answer_parts.h"
#include "cli/text/seeds_answer.h"
#include "cli/tray_labels.h"

namespace braird::cli {

std::string heading(const Census& census, std::size_t number, const Order& order) {
  const Tray& tray = census.trays[number];
  std::string text = census.photo.file;
  if (census.trays.size() > 1) text += fmt::format(", tray {} of {}", number + 1, census.trays.size());
  text +=
      fmt::format(": {} x {} cells, {}", tray.layout.rows, tray.layout.cols, name_of(tray.layout.lattice));
  if (tray.crop) text += ", " + *tray.crop;
  if (tray.label) text += ", tray " + tray.label->tag;
  if (order.lot) text += ", lot " + *order.lot;
  if (tray.seeds_per_cell) text += ", " + counted(*tray.seeds_per_cell, "seed a cell", "seeds a cell");
  if (const auto age = age_days(census.photo, order))
    text += fmt::format(", {} after sowing", counted(*age, "day", "days"));
  return text + "\n\n";
}

std::string counts(const TraySummary& sum, const std::string& thing) {
  std::string text =
      fmt::format("{:>8} cells\n{:>8} empty\n{:>8} with one {}\n{:>8} with several\n{:>8} {}{}\n",
                  grouped(sum.cells), grouped(sum.empty), grouped(sum.single), thing, grouped(sum.multiple),
                  grouped(sum.seedlings), thing, sum.seedlings == 1 ? "" : "s");
  if (sum.review > 0)
    text += fmt::format("{:>8} worth a look (flagged in the picture that --marked writes)\n", sum.review);
  return text;
}

std::string rate_line(const char* what, const Estimate& rate, const std::string& from) {
  const std::string interval = percent(rate.low) + " to " + percent(rate.high) + " %";
  return fmt::format("  {:<12} {:>6}   95 % interval {:<14} {}\n", what, percent(rate.estimate) + " %",
                     interval, from);
}

namespace {

/// Seedlings that are more than the seeds sown in their cells, where one seed gives one plant.
int surplus_of(const Tray& tray) {
  return seed_kind(tray.crop) == braird::SeedKind::cluster ? 0
                                                           : surplus(cell_counts(tray, *tray.seeds_per_cell));
}

std::string rates(const Tray& tray, const Evidence& evidence) {
  const TraySummary& sum = evidence.summary;
  const std::string gaps =
      rate_line("Gaps", evidence.gaps, fmt::format("{} of {} cells", grouped(sum.empty), grouped(sum.cells)));
  if (!evidence.germination)
    return gaps + "  For the germination rate, tell how many seeds were sown a cell: --seeds N\n";
  const int seeds = sum.cells * *tray.seeds_per_cell, beyond = surplus_of(tray);
  const std::string from = fmt::format("{} from {}", counted(sum.seedlings - beyond, "seedling", "seedlings"),
                                       counted(seeds, "seed", "seeds"));
  const std::string left_out =
      beyond > 0 ? fmt::format("  {} beyond the seeds of {} left out of the germination rate.\n",
                               counted(beyond, "seedling", "seedlings"),
                               beyond == 1 ? "its cell is" : "their cells are")
                 : "";
  const std::string why = evidence.explanation ? "  " + evidence.explanation->sentence + "\n" : "";
  return rate_line("Germination", *evidence.germination, from) + gaps + left_out + why;
}

/// Where gaps stand out in the tray, as in the report of its lot; not while hardly anything has come up.
std::string stands_out(const Tray& tray, const TraySummary& sum) {
  constexpr std::size_t kMost = 3;
  constexpr double kHardlyAny = 0.2;
  if (sum.cells - sum.empty < kHardlyAny * sum.cells) return "";
  std::string text;
  const auto findings = find_patterns(tray_map(tray, tray.seeds_per_cell.value_or(1), ""));
  for (std::size_t at = 0; at < std::min(findings.size(), kMost); ++at)
    text += fmt::format("  Look here    {}\n", findings[at].sentence);
  return text.empty() ? text : "\n" + text;
}

std::string tray_answer(const Census& census, std::size_t number, const Order& told) {
  const Tray& tray = census.trays[number];
  const Order order = order_for(tray, told);
  Evidence evidence = weigh(tray, order.crop, age_days(census.photo, order));
  if (order.sown && !day_taken(census.photo, order)) evidence.untold_day = "the day of the photo (--taken)";
  const Advice advice = advise(evidence);
  return heading(census, number, order) + counts(evidence.summary, "seedling") + "\n" +
         rates(tray, evidence) + stands_out(tray, evidence.summary) +
         fmt::format("\n  What to do   {}\n  Why          {}\n\n", advice.what, advice.why);
}

}  // namespace

std::string answer(const Census& census, const Order& order) {
  std::string text;
  for (std::size_t number = 0; number < census.trays.size(); ++number)
    text += census.counted == Counted::seeds ? seeds_answer(census, number, order)
                                             : tray_answer(census, number, order);
  for (const std::string& remark : census.remarks) text += "  Note: " + remark + "\n";
  if (!census.remarks.empty()) text += "\n";
  return text;
}

}  // namespace braird::cli
