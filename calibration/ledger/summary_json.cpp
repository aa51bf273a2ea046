// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/summary_json.h"

#include "calibration/json_words.h"

namespace braird::ledger {
namespace {

using Json = nlohmann::ordered_json;

template <typename Value>
void read(const Json& object, const char* key, std::optional<Value>& value) {
  if (const Json& found = object.at(key); !found.is_null()) value = found.get<Value>();
}

Json rate_json(const std::optional<Estimate>& rate) {
  return rate ? estimate_json(*rate) : Json(nullptr);
}

std::optional<Estimate> rate_from(const Json& object, const char* key) {
  const Json& rate = object.at(key);
  if (rate.is_null()) return std::nullopt;
  return Estimate{rate.at("estimate"), rate.at("low"), rate.at("high"), rate.at("method")};
}

void add_tally(Json& to, const Tally& tally) {
  to.update({{"trays", tally.trays},
             {"photos", tally.photos},
             {"cells", tally.cells},
             {"empty", tally.empty},
             {"seedlings", tally.seedlings},
             {"seeds", tally.seeds},
             {"hand_checked", tally.hand_checked},
             {"left_out", tally.left_out}});
}

Tally tally_from(const Json& object) {
  return {object.at("trays"),     object.at("photos"), object.at("cells"),        object.at("empty"),
          object.at("seedlings"), object.at("seeds"),  object.at("hand_checked"), object.at("left_out")};
}

Json sowing_json(const SowingSummary& sowing) {
  const SowingFacts& facts = sowing.facts;
  Json json = {{"sown_on", or_null(facts.sown_on)},
               {"rows", facts.layout.rows},
               {"cols", facts.layout.cols},
               {"lattice", name_of(facts.layout.lattice)},
               {"seeds_per_cell", or_null(facts.seeds_per_cell)},
               {"plate", or_null(facts.plate)},
               {"topping", or_null(facts.topping)},
               {"temperature_c", or_null(facts.temperature_c)}};
  add_tally(json, sowing.tally);
  json.update({{"germination", rate_json(sowing.germination)},
               {"gaps", rate_json(sowing.gaps)},
               {"error_checks", sowing.error_checks},
               {"last_day", or_null(sowing.last_day)},
               {"t50", or_null(sowing.t50)},
               {"in_the_end", rate_json(sowing.in_the_end)},
               {"still_rising", sowing.still_rising},
               {"pack_age_days", or_null(sowing.pack_age_days)}});
  return json;
}

SowingSummary sowing_from(const Json& json) {
  SowingSummary sowing;
  SowingFacts& facts = sowing.facts;
  read(json, "sown_on", facts.sown_on);
  facts.layout = {
      json.at("rows"), json.at("cols"),
      json.at("lattice") == name_of(LatticeKind::staggered) ? LatticeKind::staggered : LatticeKind::square};
  read(json, "seeds_per_cell", facts.seeds_per_cell);
  read(json, "plate", facts.plate);
  read(json, "topping", facts.topping);
  read(json, "temperature_c", facts.temperature_c);
  sowing.tally = tally_from(json);
  sowing.germination = rate_from(json, "germination");
  sowing.gaps = rate_from(json, "gaps");
  sowing.error_checks = json.at("error_checks");
  read(json, "last_day", sowing.last_day);
  read(json, "t50", sowing.t50);
  sowing.in_the_end = rate_from(json, "in_the_end");
  sowing.still_rising = json.at("still_rising");
  read(json, "pack_age_days", sowing.pack_age_days);
  return sowing;
}

}  // namespace

Json summary_json(const LotSummary& summary) {
  const LotFacts& facts = summary.facts;
  Json json = {{"format", "braird-lot"},
               {"version", 1},
               {"lot", facts.name},
               {"crop", or_null(facts.crop)},
               {"variety", or_null(facts.variety)},
               {"supplier", or_null(facts.supplier)},
               {"tested_on", or_null(facts.tested_on)},
               {"stated_percent", or_null(facts.stated_percent)},
               {"treated", or_null(facts.treated)}};
  add_tally(json, summary.tally);
  json.update({{"germination", rate_json(summary.germination)},
               {"gaps", rate_json(summary.gaps)},
               {"too_young", summary.too_young},
               {"error_checks", summary.error_checks},
               {"trend", rate_json(summary.trend)},
               {"legal_minimum_percent", or_null(summary.legal_minimum_percent)},
               {"suspicions", summary.suspicions}});
  Json sowings = Json::array();
  for (const SowingSummary& sowing : summary.sowings) sowings.push_back(sowing_json(sowing));
  json["sowings"] = std::move(sowings);
  return json;
}

LotSummary summary_from_json(const Json& json) {
  LotSummary summary;
  LotFacts& facts = summary.facts;
  facts.name = json.at("lot").get<std::string>();
  read(json, "crop", facts.crop);
  read(json, "variety", facts.variety);
  read(json, "supplier", facts.supplier);
  read(json, "tested_on", facts.tested_on);
  read(json, "stated_percent", facts.stated_percent);
  read(json, "treated", facts.treated);
  summary.tally = tally_from(json);
  summary.germination = rate_from(json, "germination");
  summary.gaps = rate_from(json, "gaps");
  summary.too_young = json.at("too_young");
  summary.error_checks = json.at("error_checks");
  summary.trend = rate_from(json, "trend");
  read(json, "legal_minimum_percent", summary.legal_minimum_percent);
  summary.suspicions = json.at("suspicions").get<std::vector<std::string>>();
  for (const Json& sowing : json.at("sowings")) summary.sowings.push_back(sowing_from(sowing));
  return summary;
}

}  // namespace braird::ledger
