// SPDX-License-Identifier: Apache-2.0
#include "cli/text/rate_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "calibration/figure_words.h"
#include "cli/text/method_words.h"

namespace braird::cli {
namespace {

constexpr double kClearlyMore = 1.645;  // one-sided 5 % of the normal

std::string line(const std::string& label, const std::string& words) {
  return fmt::format("  {:<15}{}\n", label, words);
}

/// Calibration reads replicates as cells.
const char* unit_of(const LotReport& report) {
  return report.trays > 0 ? "cell" : report.overdispersion ? "replicate" : "";
}

std::string interval_line(const std::string& label, const Estimate& rate, const char* unit) {
  if (rate.estimate > 1)
    return line(label, fmt::format("{:.2f} seedlings a seed   95 % interval {:.2f} to {:.2f}   {}",
                                   rate.estimate, rate.low, rate.high, method_words(rate.method, unit)));
  return line(label, fmt::format("{:>5} %   95 % interval {} to {} %   {}", percent(rate.estimate),
                                 percent(rate.low), percent(rate.high), method_words(rate.method, unit)));
}

std::string heading(const LotReport& report) {
  std::string text = "Lot " + report.name + ": ";
  if (report.trays > 0)
    text += counted(report.trays, "tray", "trays") + ", " + counted(report.cells, "cell", "cells") + ", " +
            counted(report.empty, "gap", "gaps") + ", ";
  text += counted(report.seedlings, "seedling", "seedlings");
  if (report.seeds_known) text += " from " + counted(report.sown, "seed", "seeds");
  return text + "\n";
}

std::string rounded(double day) {
  return fmt::format("{:g}", std::round(10 * day) / 10);
}

/// When those that are up came: as far back as someone looked.
std::string times_of(const GerminationTimes& times, double first_look) {
  if (times.t90 < first_look)
    return fmt::format("of those up, 90 % or more by day {}, the first count", rounded(first_look));
  const auto day = [&](double time) {
    return time < first_look ? "before day " + rounded(first_look) : fmt::format("by day {:.1f}", time);
  };
  return fmt::format("of those up, 10 % {}, half {}, 90 % {}", day(times.t10), day(times.t50_coolbear),
                     day(times.t90));
}

std::string course(const TimeCourse& seen, const char* unit) {
  return (seen.times ? line("Time", times_of(*seen.times, seen.first_look)) : "") +
         interval_line("In the end", seen.final_rate, unit);
}

std::string finding_line(const Finding& finding, bool several_trays) {
  const std::string where = several_trays && !finding.tray.empty() ? finding.tray + ": " : "";
  return line("Look here", fmt::format("{}{} (p {:.2g})", where, finding.sentence, finding.p_adjusted));
}

constexpr std::size_t kMostPlaces = 3;  // that get a line each

/// A jammed line of the sower is many places that stay empty.
std::string repeated_places(const std::vector<const Finding*>& places) {
  std::string names;
  double p_adjusted = 0;
  for (const Finding* place : places) {
    names += fmt::format("{}{}", names.empty() ? "" : "; ", place->place);
    p_adjusted = std::max(p_adjusted, place->p_adjusted);
  }
  return line(
      "Look here",
      fmt::format("{} places stayed empty in tray after tray, more than chance would: look for jammed "
                  "holes or nozzles at {}. (p {:.2g})",
                  places.size(), names, p_adjusted));
}

std::string finding_lines(const LotReport& report) {
  std::vector<const Finding*> places;
  for (const Finding& finding : report.findings)
    if (finding.kind == FindingKind::repeated_place) places.push_back(&finding);
  const bool many = places.size() > kMostPlaces;
  std::string text = many ? repeated_places(places) : "";
  for (const Finding& finding : report.findings)
    if (!many || finding.kind != FindingKind::repeated_place) text += finding_line(finding, report.trays > 1);
  return text;
}

std::string checks(const LotReport& report) {
  if (report.check_next.empty()) return "";
  std::string places;
  for (const PlaceToCheck& check : report.check_next)
    places += fmt::format("{}{}{}", places.empty() ? "" : "; ", report.trays > 1 ? check.tray + " " : "",
                          check.place);
  return line("Check by hand", places);
}

std::string lot_text(const RateAnswer::LotAnswer& lot) {
  const LotReport& report = lot.report;
  const char* unit = unit_of(report);
  std::string text = heading(report);
  if (report.germination_rate) text += interval_line("Germination", *report.germination_rate, unit);
  if (report.gap_rate) text += interval_line("Gaps", *report.gap_rate, unit);
  if (report.overdispersion)
    if (const std::string words = shared_fate_words(*report.overdispersion); !words.empty())
      text += line("Shared fate", words);
  if (report.gaps) text += line("Why gaps", report.gaps->sentence);
  text += finding_lines(report);
  if (report.replicates) text += line("Replicates", report.replicates->sentence);
  if (report.time_course) text += course(*report.time_course, unit);
  if (lot.patience) text += line("Patience", lot.patience->sentence);
  text += checks(report);
  for (const std::string& remark : report.remarks) text += line("Note", remark);
  return text;
}

std::string minimum_text(const CropProfile& crop) {
  const auto us = crop.minimum_germination_percent, eu = crop.european_union_percent;
  std::string text = fmt::format("Least germination of {} seed on sale:", crop.name);
  if (us) text += fmt::format(" {} % in the United States", *us);
  if (us && eu) text += ",";
  if (eu) text += fmt::format(" {} % in the European Union", *eu);
  return text + ". ";
}

bool says_of_rules(const RateAnswer& answer) {
  for (const auto& lot : answer.lots)
    if (lot.report.replicates) return true;
  return false;
}

}  // namespace

std::vector<const CropProfile*> crops_with_minimum(const RateAnswer& answer) {
  std::vector<const CropProfile*> crops;
  for (const auto& lot : answer.lots)
    if (lot.crop && has_minimum(*lot.crop) && std::ranges::find(crops, lot.crop) == crops.end())
      crops.push_back(lot.crop);
  return crops;
}

std::string shared_fate_words(const Overdispersion& over) {
  if (!over.tarone_z) return "";
  const bool more = *over.tarone_z > kClearlyMore;
  const bool cells = over.unit == "cells";
  const std::string words =
      more && cells
          ? "Whole cells failed more often than by chance: look at the sower, the depth and the watering"
      : more ? "Seeds of a replicate failed together more often than by chance"
             : fmt::format("Seeds of a {} fail independently, as far as can be told",
                           cells ? "cell" : "replicate");
  return fmt::format("{} (ρ {:.3f}, Tarone's Z {:.2f})", words, over.rho, *over.tarone_z);
}

std::string rate_text(const RateAnswer& answer) {
  std::string text;
  for (const auto& lot : answer.lots) text += fmt::format("{}{}", text.empty() ? "" : "\n", lot_text(lot));
  if (answer.across_lots)
    text += fmt::format("\nAll lots, each at its own rate: ρ {:.3f} between {} of a lot.\n",
                        answer.across_lots->rho, answer.across_lots->unit);
  const auto crops = crops_with_minimum(answer);
  std::string minima;
  for (const CropProfile* crop : crops) minima += minimum_text(*crop);
  if (!crops.empty())
    text += fmt::format("\n{}A tray is no laboratory test. {}\n", minima, kStandardsCaution);
  else if (says_of_rules(answer))
    text += fmt::format("\n{}\n", kStandardsCaution);
  return text;
}

}  // namespace braird::cli
