// SPDX-License-Identifier: Apache-2.0
#include "calibration/advice_remarks.h"

#include <fmt/format.h>

#include <algorithm>

#include "calibration/belief.h"
#include "calibration/figure_words.h"
#include "calibration/lot_evidence.h"
#include "calibration/warmth.h"

namespace braird {
namespace {

constexpr double kWideOpen = 0.3;   // an interval that says next to nothing
constexpr double kFarFewer = 0.85;  // of the seedlings on the bench now: worth a word

std::string on_warmth(const AdviceRequest& request, const AdviceReport& report) {
  if (!request.next_temperature) return "";
  if (!report.warmth) return "No table tells how this crop germinates at the next batch's temperature.";
  if (report.next_without_trays)
    return fmt::format(
        "At {:.0f} °C these trays tell nothing of a bench at {:.0f} °C: the next batch rests on pack, "
        "earlier sowings and what is usual.",
        *request.temperature, *request.next_temperature);
  if (*report.warmth >= kFarFewer) return "";
  return fmt::format(
      "At {:.0f} °C the next batch is taken to give {} % of the seedlings that it would at {}: sow {} if "
      "you can.",
      *request.next_temperature, percent(*report.warmth),
      request.temperature ? fmt::format("{:.0f} °C", *request.temperature) : "the best temperature",
      *towards_best(report.crop, *request.next_temperature));
}

std::string on_the_counter(const Lot& lot) {
  if (!lot.checked.empty())
    return fmt::format("Corrected by the counter's error in {} cells checked by hand.", lot.checked.size());
  if (std::ranges::any_of(lot.trays, &TrayMap::from_photo))
    return "Counted from photos: the counter's own error is in these chances only where it was unsure "
           "itself.";
  return "";
}

std::string on_timing(const AdviceRequest& request, const AdviceReport& report, const LotEvidence& evidence) {
  if (evidence.ahead && request.temperature)
    return fmt::format(
        "More is up on day {:.0f} than the table allows at {:.0f} °C: check temperature and sowing date; the "
        "temperature is left out here.",
        *evidence.day, *request.temperature);
  if (evidence.ahead)
    return fmt::format("More is up on day {:.0f} than the table allows: check the sowing date.",
                       *evidence.day);
  if (is_end_open(report) && !request.temperature)
    return "What may still come hangs on the warmth of the medium: tell it (--temperature).";
  if (evidence.trays.empty() || !evidence.timings.empty()) return "";
  const std::string start = "What may still come is not known, so all is taken to be up: ";
  if (!evidence.day && !request.crop)
    return start + "tell the crop, and when it was sown and counted (or --day).";
  if (!evidence.day)
    return start + (request.sown_told ? "tell when it was counted (--counted)."
                                      : "tell when it was sown and counted (or --day).");
  if (!request.crop) return start + "tell the crop.";
  return start + "no table tells how long this crop takes to come up there.";
}

std::string on_wanted(const AdviceRequest& request, const AdviceReport& report) {
  if (request.wanted || !request.crop || !request.crop->usual_seeds) return "";
  const Wanted usual = usually_wanted(*request.crop->usual_seeds), &taken = report.wanted;
  if (taken.low >= usual.low) return "";
  return fmt::format(
      "Too few seeds were sown a cell for the {} to {} plants that are usual of {}: {} taken to be wanted "
      "(or tell --wanted).",
      usual.low, usual.high, report.crop,
      taken.high == 1 ? "1 is" : fmt::format("{} to {} are", taken.low, taken.high));
}

std::string on_replicates(const AdviceReport& report) {
  const bool apart = report.seen && report.seen->replicates && !report.seen->replicates->acceptable;
  return apart ? report.seen->replicates->sentence : "";
}

std::string on_forecast(const AdviceRequest& request, const AdviceReport& report) {
  if (report.stand || !report.seen || !report.seen->time_course) return "";
  if (came_to_nothing(*request.lot->course, request.crop)) return "";
  const Estimate& end = report.seen->time_course->final_rate;
  if (end.high - end.low < kWideOpen) return "";
  return fmt::format("The daily counts leave open how many come in the end ({} to {} %): count on.",
                     percent(end.low), percent(end.high));
}

std::string on_doubles(const AdviceRequest& request, const AdviceReport& report) {
  if (report.sower.clusters || report.sower.doubles <= request.sower.doubles) return "";
  return fmt::format("Cells hold more than was sown, as if {} % of the seeds came double (or as clusters).",
                     percent(report.sower.doubles));
}

std::string on_missed(const AdviceRequest& request, const AdviceReport& report) {
  if (report.sower.missed <= request.sower.missed) return "";
  return fmt::format("The sower is taken to miss {} % of the cells, here and in the next batch.",
                     percent(report.sower.missed));
}

}  // namespace

bool is_end_open(const AdviceReport& report) {
  const Estimate& end = report.in_the_end;
  return is_early(report.still_to_come) && end.high - end.low > end.estimate;
}

std::vector<std::string> remarks_on(const AdviceRequest& request, const AdviceReport& report,
                                    const LotEvidence& evidence) {
  std::vector<std::string> remarks = {on_timing(request, report, evidence), on_warmth(request, report)};
  if (request.lot) {
    remarks.insert(remarks.end(), request.lot->remarks.begin(), request.lot->remarks.end());
    remarks.push_back(on_the_counter(*request.lot));
  }
  remarks.push_back(on_wanted(request, report));
  remarks.push_back(on_forecast(request, report));
  remarks.push_back(on_replicates(report));
  remarks.push_back(on_doubles(request, report));
  remarks.push_back(on_missed(request, report));
  std::erase(remarks, "");
  return remarks;
}

LotQuestion question_of(const AdviceRequest& request, const AdviceReport& report) {
  LotQuestion question;
  if (report.seen) question.report = *report.seen;
  question.counted = report.seen.has_value();
  question.crop = report.crop;
  question.in_the_end = report.in_the_end;
  question.still_to_come = report.still_to_come;
  question.earlier = earlier_rate(request.earlier);
  if (const auto alive = clusters_alive(request.earlier)) question.earlier = alive;
  if (request.lot && !is_early(report.still_to_come))
    if (const auto alive = clusters_alive({&*request.lot, 1}, report.sower.missed))
      question.in_the_end = *alive;
  if (request.crop && report.day && *report.day < telling_day(*request.crop))
    question.judge_on = telling_day(*request.crop);
  question.pack_percent = request.pack_percent;
  question.stored = request.stored;
  if (request.crop && request.crop->minimum_germination_percent)
    question.minimum_percent = *request.crop->minimum_germination_percent;
  question.temperature = request.temperature;
  return question;
}

}  // namespace braird
