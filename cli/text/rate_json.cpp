// SPDX-License-Identifier: Apache-2.0
#include "cli/text/rate_json.h"

#include <nlohmann/json.hpp>

#include "calibration/json_words.h"
#include "cli/text/json_values.h"

namespace braird::cli {
namespace {

using Json = nlohmann::ordered_json;

// Whole where it is whole.
Json count_of(double number) {
  const auto whole = static_cast<long long>(number);
  return static_cast<double>(whole) == number ? Json(whole) : Json(number);
}

Json rate_or(const std::optional<Estimate>& rate, const char* why_not) {
  if (rate) return estimate_json(*rate);
  return {{"estimate", nullptr}, {"low", nullptr}, {"high", nullptr}, {"method", why_not}};
}

Json overdispersion_of(const std::optional<Overdispersion>& over) {
  if (!over)
    return {{"unit", nullptr},           {"rho", nullptr},
            {"rho_error", nullptr},      {"tarone_z", nullptr},
            {"log_likelihood", nullptr}, {"binomial_log_likelihood", nullptr},
            {"design_effect", nullptr}};
  return {{"unit", over->unit},
          {"rho", over->rho},
          {"rho_error", over->rho_error},
          {"tarone_z", or_null(over->tarone_z)},
          {"log_likelihood", over->log_likelihood},
          {"binomial_log_likelihood", over->binomial_log_likelihood},
          {"design_effect", over->design_effect}};
}

const char* word_for(GapVerdict verdict) {
  switch (verdict) {
    case GapVerdict::explained:
      return "explained";
    case GapVerdict::more:
      return "more";
    case GapVerdict::fewer:
      return "fewer";
    case GapVerdict::cannot_tell:
      break;
  }
  return "cannot tell";
}

const char* word_for(GapCause cause) {
  switch (cause) {
    case GapCause::none:
      return "none";
    case GapCause::missed_cells:
      return "missed cells";
    case GapCause::shared_fate:
      return "shared fate";
    case GapCause::cannot_tell:
      break;
  }
  return "cannot tell";
}

Json gaps_of(const std::optional<GapExplanation>& gaps) {
  if (!gaps) return nullptr;
  return {{"seen", gaps->seen},
          {"expected", gaps->expected},
          {"usual", {gaps->usual.low, gaps->usual.high}},
          {"p_more", gaps->p_more},
          {"p_fewer", gaps->p_fewer},
          {"verdict", word_for(gaps->verdict)},
          {"cause", word_for(gaps->cause)},
          {"missed", gaps->missed},
          {"sentence", gaps->sentence}};
}

Json findings_of(const std::vector<Finding>& findings) {
  Json list = Json::array();
  for (const Finding& finding : findings)
    list.push_back({{"kind", name_of(finding.kind)},
                    {"tray", finding.tray.empty() ? Json(nullptr) : Json(finding.tray)},
                    {"place", finding.place},
                    {"sentence", finding.sentence},
                    {"p_value", finding.p_value},
                    {"p_adjusted", finding.p_adjusted},
                    {"difference", finding.difference ? estimate_json(*finding.difference) : Json(nullptr)}});
  return list;
}

Json fit_of(const std::optional<EmergenceFit>& fit) {
  if (!fit) return nullptr;
  return {{"d", fit->final_share},
          {"b", fit->steepness},
          {"e", fit->half_time},
          {"standard_errors",
           {{"d", fit->final_share_error}, {"b", fit->steepness_error}, {"e", fit->half_time_error}}},
          {"log_likelihood", fit->log_likelihood},
          {"settled", fit->settled}};
}

Json course_of(const std::optional<TimeCourse>& course) {
  if (!course) return nullptr;
  const double unknown = std::nan("");
  const GerminationTimes none{0,       unknown, unknown, unknown, unknown, unknown, unknown,
                              unknown, unknown, unknown, unknown, unknown, unknown, unknown};
  const GerminationTimes& times = course->times ? *course->times : none;
  return {{"germinated", count_of(times.germinated)},
          {"t50_coolbear", finite(times.t50_coolbear)},
          {"t50_farooq", finite(times.t50_farooq)},
          {"t10", finite(times.t10)},
          {"t90", finite(times.t90)},
          {"mean_germination_time", finite(times.mean_time)},
          {"variance", finite(times.variance)},
          {"mean_rate", finite(times.mean_rate)},
          {"velocity", finite(times.velocity)},
          {"rate_index", finite(times.rate_index)},
          {"speed", finite(times.speed)},
          {"synchrony", finite(times.synchrony)},
          {"uncertainty", finite(times.uncertainty)},
          {"uniformity", finite(times.uniformity)},
          {"final_rate", estimate_json(course->final_rate)},
          {"fit", fit_of(course->fit)}};
}

Json patience_of(const std::optional<Patience>& patience) {
  if (!patience) return nullptr;
  return {{"too_early", patience->too_early},
          {"up_by_now", patience->up_by_now},
          {"judge_on", patience->judge_on},
          {"sentence", patience->sentence}};
}

Json replicates_of(const std::optional<ReplicateVerdict>& verdict) {
  if (!verdict) return nullptr;
  return {{"mean_percent", verdict->mean_percent},
          {"range", verdict->range},
          {"tolerance", or_null(verdict->tolerance)},
          {"acceptable", verdict->acceptable},
          {"sentence", verdict->sentence}};
}

Json checks_of(const std::vector<PlaceToCheck>& checks) {
  Json list = Json::array();
  for (const PlaceToCheck& check : checks)
    list.push_back({{"tray", check.tray}, {"row", check.row}, {"col", check.col}, {"place", check.place}});
  return list;
}

Json lot_json(const RateAnswer::LotAnswer& lot) {
  const LotReport& report = lot.report;
  return {{"lot", report.name},
          {"crop", lot.crop ? Json(lot.crop->name) : Json(nullptr)},
          {"trays", report.trays},
          {"cells", report.cells},
          {"empty", report.empty},
          {"seedlings", count_of(report.seedlings)},
          {"surplus", report.surplus},
          {"seeds_sown", report.seeds_known ? count_of(report.sown) : Json(nullptr)},
          {"germination_rate", rate_or(report.germination_rate, "the number of seeds is not known")},
          {"gap_rate", rate_or(report.gap_rate, "no cells were counted")},
          {"overdispersion", overdispersion_of(report.overdispersion)},
          {"gaps", gaps_of(report.gaps)},
          {"findings", findings_of(report.findings)},
          {"time_course", course_of(report.time_course)},
          {"too_early", patience_of(lot.patience)},
          {"replicates", replicates_of(report.replicates)},
          {"check_next", checks_of(report.check_next)},
          {"remarks", report.remarks}};
}

Json minimum_json(const std::vector<const CropProfile*>& crops) {
  if (crops.size() != 1) return nullptr;
  const CropProfile* crop = crops.front();
  return {{"crop", crop->name},
          {"united_states_percent", or_null(crop->minimum_germination_percent)},
          {"european_union_percent", or_null(crop->european_union_percent)},
          {"caution", kStandardsCaution}};
}

}  // namespace

nlohmann::ordered_json rate_json(const RateAnswer& answer) {
  Json lots = Json::array();
  for (const auto& lot : answer.lots) lots.push_back(lot_json(lot));
  return {{"format", "braird-rates"},
          {"version", 1},
          {"lots", std::move(lots)},
          {"across_lots", answer.across_lots ? overdispersion_of(answer.across_lots) : Json(nullptr)},
          {"minimum_germination", minimum_json(crops_with_minimum(answer))}};
}

}  // namespace braird::cli
