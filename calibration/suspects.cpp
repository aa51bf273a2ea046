// SPDX-License-Identifier: Apache-2.0
#include "calibration/suspects.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "calibration/figure_words.h"
#include "calibration/standards.h"
#include "calibration/telling_findings.h"
#include "calibration/warmth.h"

namespace braird {
namespace {

constexpr double kMuchToCome = 0.1;  // a rate of which more is missing says little of the seed
constexpr double kHotOrCold = 0.85;  // of the best temperature's seedlings
constexpr double kFarTooHot = 0.6;

using Found = std::optional<Suspicion>;

std::string range(const Estimate& rate) {
  return fmt::format("{} to {} %", percent(rate.low), percent(rate.high));
}

// Whose seedlings are held against pack and law.
struct Witness {
  const char* points = "";
  Estimate rate;
};

std::optional<Witness> witness_of(const LotQuestion& question) {
  if (question.counted) return Witness{"this sowing points", question.in_the_end};
  if (question.earlier) return Witness{"earlier sowings point", *question.earlier};
  return std::nullopt;
}

// Pack and law are held against a sowing no sooner than its lot is judged (ledger/lot_summary.h).
bool is_untimely(const LotQuestion& question) {
  return question.counted && question.judge_on;
}

Found timing(const LotQuestion& question) {
  if (question.still_to_come < .02) return std::nullopt;
  const bool much = is_early(question.still_to_come);
  return Suspicion{
      "timing", much ? Suspected::likely : Suspected::open,
      fmt::format("About {} % of what will come is not up yet; {}.", percent(question.still_to_come),
                  much ? "judge the seed later" : "the figures can still rise a little")};
}

Found earlier(const LotQuestion& question) {
  if (!question.earlier || !question.counted) return std::nullopt;
  const Estimate gap = difference(*question.earlier, question.in_the_end);
  const std::string both = fmt::format("earlier sowings of the lot gave {}, this one {}",
                                       range(*question.earlier), range(question.in_the_end));
  if (gap.low > 0)
    return Suspicion{"lot", Suspected::unlikely,
                     "The lot did better before (" + both + "): look at this sowing, or at its age."};
  if (gap.high < 0)
    return Suspicion{"lot", Suspected::unlikely, "The lot does better than before (" + both + ")."};
  return Suspicion{"lot", Suspected::open, "The lot does as before, as far as can be told (" + both + ")."};
}

Found pack(const LotQuestion& question) {
  const auto witness = witness_of(question);
  if (!question.pack_percent || !witness) return std::nullopt;
  const double stated = *question.pack_percent / 100;
  const int tolerance =
      two_test_tolerance(static_cast<int>(std::lround(*question.pack_percent)), TestPair::label);
  const std::string said =
      fmt::format("the pack says {} %, {} to {}", percent(stated), witness->points, range(witness->rate));
  if (witness->rate.high >= stated)
    return Suspicion{"pack", Suspected::unlikely, fmt::format("No quarrel with the pack: {}.", said)};
  if (is_untimely(question))
    return Suspicion{
        "pack", Suspected::open,
        fmt::format("Below the pack so far: {}; judge it from day {} on.", said, *question.judge_on)};
  if (witness->rate.high >= stated - tolerance / 100.)
    return Suspicion{
        "pack", Suspected::open,
        fmt::format("A little below the pack: {}; a label may be {} points off.", said, tolerance)};
  return Suspicion{
      "pack", Suspected::possible,
      fmt::format("Below the pack: {}. A tray is no laboratory test: try 100 seeds on damp paper.", said)};
}

Found age(const LotQuestion& question) {
  if (!question.stored) return std::nullopt;
  const double years = question.stored->days / 365.25;
  const double tested = std::clamp(question.pack_percent.value_or(90) / 100, .01, .99);
  const auto left = aged_germination(question.crop, tested, *question.stored);
  if (!left)
    return Suspicion{
        "age", years > 2 ? Suspected::possible : Suspected::open,
        fmt::format("The test is {:.1f} years old; no ageing constants are known for this crop.", years)};
  const std::string words = fmt::format(
      "After {:.1f} years at {:.0f} % moisture and {:.0f} °C about {} of {} % would be left (rough).", years,
      question.stored->moisture_percent, question.stored->celsius, percent(*left), percent(tested));
  const bool lost = *left < tested - .05;
  return Suspicion{"age", lost ? Suspected::possible : Suspected::unlikely, words};
}

Found minimum(const LotQuestion& question) {
  const auto witness = witness_of(question);
  if (!question.minimum_percent || !witness) return std::nullopt;
  const double least = *question.minimum_percent / 100;
  const auto words = [&](const char* judged) {
    return fmt::format(fmt::runtime(std::string(judged) + "; {} to {}."), *question.minimum_percent,
                       witness->points, range(witness->rate));
  };
  if (witness->rate.low >= least)
    return Suspicion{"minimum", Suspected::unlikely, words("It keeps the legal minimum of {} %")};
  if (witness->rate.high >= least)
    return Suspicion{"minimum", Suspected::open,
                     words("Whether it keeps the legal minimum of {} % can't be told yet")};
  if (is_untimely(question))
    return Suspicion{"minimum", Suspected::open,
                     words("Whether it keeps the legal minimum of {} % can't be told yet") +
                         fmt::format(" Judge it from day {} on.", *question.judge_on)};
  return Suspicion{"minimum", is_early(question.still_to_come) ? Suspected::possible : Suspected::likely,
                   words("It is below the legal minimum of {} %") + " Test the lot."};
}

Found heat(const LotQuestion& question) {
  if (!question.temperature || !question.counted) return std::nullopt;
  const auto here = normal_seedlings(question.crop, *question.temperature),
             best = best_normal_seedlings(question.crop);
  if (!here || !best) return std::nullopt;
  const std::string words = fmt::format("At {:.0f} °C {} gives about {} % normal seedlings, at its best {} %",
                                        *question.temperature, question.crop, percent(*here), percent(*best));
  if (*here >= kHotOrCold * *best)
    return Suspicion{"heat", Suspected::unlikely, words + ": the bench is not at fault."};
  // Only a poor tray has anything to explain.
  const bool poor = question.in_the_end.high < *best;
  const bool far = *here < kFarTooHot * *best;
  return Suspicion{"heat",
                   !poor ? Suspected::open
                   : far ? Suspected::likely
                         : Suspected::possible,
                   fmt::format("{}: sow {}.", words, *towards_best(question.crop, *question.temperature))};
}

bool is_line(const Finding& finding) {
  return finding.kind == FindingKind::row || finding.kind == FindingKind::column;
}

bool is_sowers(const Finding& finding) {
  return finding.kind == FindingKind::repeated_place || (is_line(finding) && !finding.may_be_dry_side);
}

bool is_side(const Finding& finding) {
  return is_line(finding) && finding.may_be_dry_side;
}

bool is_edge(const Finding& finding) {
  return finding.kind == FindingKind::edge;
}

Found sower(const LotQuestion& question) {
  if (const Finding* line = stands_out(question.report.findings, question.report.trays, is_sowers))
    return Suspicion{"sower", Suspected::likely, line->sentence};
  if (const Finding* side = stands_out(question.report.findings, question.report.trays, is_side))
    return Suspicion{"sower", Suspected::possible, side->sentence};
  const auto& gaps = question.report.gaps;
  if (!gaps || gaps->verdict == GapVerdict::cannot_tell) return std::nullopt;
  if (gaps->verdict == GapVerdict::more)
    return Suspicion{"sower", gaps->cause == GapCause::missed_cells ? Suspected::likely : Suspected::possible,
                     gaps->sentence};
  return Suspicion{"sower", Suspected::unlikely, gaps->sentence};
}

Found edge(const LotQuestion& question) {
  const Finding* at = stands_out(question.report.findings, question.report.trays, is_edge);
  if (!at) return std::nullopt;
  return Suspicion{"edge", Suspected::likely, at->sentence};
}

bool is_spot(const Finding& finding) {
  return finding.kind == FindingKind::corner || finding.kind == FindingKind::clump;
}

// Where most cells are gaps, what lies together are the few that aren't.
Found patch(const LotQuestion& question) {
  if (2 * question.report.empty > question.report.cells) return std::nullopt;
  const Finding* at = stands_out(question.report.findings, question.report.trays, is_spot);
  if (!at) return std::nullopt;
  return Suspicion{"patch", Suspected::likely, at->sentence};
}

}  // namespace

const char* name_of(Suspected weight) {
  switch (weight) {
    case Suspected::likely:
      return "likely";
    case Suspected::possible:
      return "possible";
    case Suspected::open:
      return "open";
    case Suspected::unlikely:
      return "unlikely";
  }
  return "";
}

bool is_early(double still_to_come) {
  return still_to_come >= kMuchToCome;
}

std::vector<Suspicion> question_lot(const LotQuestion& question) {
  std::vector<Suspicion> suspicions;
  for (const auto& ask : {timing, heat, sower, edge, patch, age, pack, earlier, minimum})
    if (Found found = ask(question)) suspicions.push_back(std::move(*found));
  std::ranges::stable_sort(suspicions, {}, &Suspicion::weight);
  return suspicions;
}

}  // namespace braird
