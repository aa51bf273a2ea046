// SPDX-License-Identifier: Apache-2.0
#include "cli/text/advise_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "calibration/json_words.h"
#include "cli/text/advice_phrases.h"
#include "cli/text/json_values.h"

namespace braird::cli {
namespace {

using Json = nlohmann::ordered_json;

Json known(const std::string& text) {
  return text.empty() ? Json(nullptr) : Json(text);
}

const char* name_of(Action action) {
  switch (action) {
    case Action::look_at_picture:
      return "look_at_picture";
    case Action::wait:
      return "wait";
    case Action::fill_and_test_lot:
      return "fill_and_test_lot";
    case Action::resow:
      return "resow";
    case Action::fill:
      return "fill";
    case Action::accept:
      return "accept";
  }
  return "";
}

Json option_json(const TrayOption& option, const TrayOptions& stand) {
  return {{"option", braird::name_of(option.kind)},
          {"cells", option.cells},
          {"trays", option.trays},
          {"full_cells", option.full_cells},
          {"plants", option.plants},
          {"seeds", option.seeds},
          {"minutes", option.minutes},
          {"money", option.money},
          {"missing", option.missing},
          {"cost", option.cost},
          {"chance", option.chance},
          {"lag_days", option.lag_days},
          {"in_time", option.in_time},
          {"sentence", choice_words(option, stand)}};
}

Json stand_json(const AdviceReport& report) {
  if (!report.stand) return nullptr;
  const StandAdvice& stand = *report.stand;
  const TrayOptions& choices = stand.choices;
  Json json = {{"cells", choices.cells},
               {"full", choices.full},
               {"empty", choices.empty},
               {"plants", choices.plants},
               {"spare", choices.spare},
               {"fillable", choices.fillable},
               {"need", stand.need},
               {"rule", {{"action", name_of(stand.rule.action)}, {"sentence", stand.rule.what}}},
               {"ranked_by", stand.ranked_by == RankedBy::rule ? "rule" : "cost"}};
  json["waiting"] = nullptr;
  if (const auto& waiting = choices.waiting)
    json["waiting"] = {{"until_day", waiting->until_day},
                       {"to_come", waiting->to_come},
                       {"at_least", waiting->at_least},
                       {"sure", waiting->sure}};
  json["options"] = Json::array();
  for (const TrayOption& option : choices.options) json["options"].push_back(option_json(option, choices));
  json["first_is_advised"] = stand.first_is_advised;
  json["why"] = reason(stand, report.economy);
  json["would_change"] = stand.changes;
  return json;
}

Json batch_json(const AdviceReport& report) {
  const BatchAdvice& batch = report.batch;
  Json json = {{"chosen", batch.chosen},
               {"too_poor", batch.too_poor},
               {"chosen_by", batch.by == ChosenBy::cost ? "cost" : "gap_limit"},
               {"second", batch.second},
               {"second_costs_more", finite(batch.second_costs_more)},
               {"chosen_if_poor", batch.chosen_if_poor},
               {"chosen_if_good", batch.chosen_if_good},
               {"warmth", or_null(report.warmth)}};
  json["table"] = Json::array();
  for (const BatchRow& row : batch.rows)
    json["table"].push_back({{"seeds_per_cell", row.seeds_per_cell},
                             {"empty", row.empty},
                             {"below", row.below},
                             {"within", row.within},
                             {"above", row.above},
                             {"plants", row.plants},
                             {"seeds", row.seeds},
                             {"cost", finite(row.cost)}});
  return json;
}

Json sowing_json(const AdviceReport& report) {
  if (!report.no_sowing.empty()) return {{"need", *report.need}, {"reason", report.no_sowing}};
  if (!report.sowing) return nullptr;
  const SowingPlan& plan = *report.sowing;
  Json json = {{"need", plan.need},
               {"bed_trays", plan.bed_trays},
               {"cells", plan.cells},
               {"trays", plan.trays},
               {"seeds", plan.seeds},
               {"seeds_per_tray", plan.seeds_per_tray},
               {"assurance", plan.assurance},
               {"chance", plan.chance},
               {"chance_of_trays", plan.chance_of_trays}};
  json["order"] = nullptr;
  if (!report.order.packs.empty())
    json["order"] = {{"packs", report.order.packs},
                     {"seeds", report.order.seeds},
                     {"price", report.order.price > 0 ? Json(report.order.price) : Json(nullptr)}};
  return json;
}

Json suspects_json(const AdviceReport& report) {
  Json json = Json::array();
  for (const Suspicion& suspicion : report.suspicions)
    json.push_back({{"suspect", suspicion.suspect},
                    {"weight", braird::name_of(suspicion.weight)},
                    {"sentence", suspicion.sentence}});
  return json;
}

Json economy_json(const Economy& economy) {
  Json json = {{"currency", economy.currency}};
  for (const auto& [name, value] : values_of(economy)) json[name] = value;
  return json;
}

}  // namespace

Json advise_json(const AdviceReport& report, const SeedKind& seed) {
  Json germination = estimate_json(report.in_the_end);
  germination["still_to_come"] = report.still_to_come;
  return {
      {"format", "braird-advice"},
      {"version", 1},
      {"lot", known(report.lot)},
      {"crop", known(report.crop)},
      {"day", or_null(report.day)},
      {"germination", std::move(germination)},
      {"wanted", Json::array({report.wanted.low, report.wanted.high})},
      {"this_tray", stand_json(report)},
      {"next_batch", batch_json(report)},
      {"to_sow", sowing_json(report)},
      {"sower",
       {{"missed", report.sower.missed}, {"skips", report.sower.skips}, {"doubles", report.sower.doubles}}},
      {"suspects", suspects_json(report)},
      {"economy", economy_json(report.economy)},
      {"cautions", cautions(seed)},
      {"remarks", report.remarks}};
}

}  // namespace braird::cli
