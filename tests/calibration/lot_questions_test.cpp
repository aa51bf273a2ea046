// SPDX-License-Identifier: Apache-2.0
// Is it the lot: warmth, age, suspects; and the list of prices, times and limits.
#include <doctest/doctest.h>

#include <algorithm>
#include <stdexcept>

#include "calibration/economy.h"
#include "calibration/suspects.h"
#include "calibration/warmth.h"
#include "tests/calibration/near.h"

using namespace braird;

namespace {

LotQuestion question_about(const char* crop, Estimate rate) {
  LotQuestion question;
  question.crop = crop;
  question.in_the_end = std::move(rate);
  return question;
}

std::string weight_of(const LotQuestion& question, const std::string& suspect) {
  const auto suspicions = question_lot(question);
  const auto found = std::ranges::find(suspicions, suspect, &Suspicion::suspect);
  return found == suspicions.end() ? "none" : name_of(found->weight);
}

}  // namespace

TEST_CASE(
    "published: normal seedlings by temperature (Harrington & Minges 1954, via Knott's Handbook 1997)") {
  CHECK(*normal_seedlings("spinach", 15) == doctest::Approx(.82));
  CHECK(*normal_seedlings("spinach", 25) == doctest::Approx(.28));
  CHECK(*normal_seedlings("lettuce", 25) == doctest::Approx(.99));
  CHECK(*normal_seedlings("lettuce", 30) == doctest::Approx(.12));
  CHECK(*normal_seedlings("tomato", 12.5) == doctest::Approx(.90));
  CHECK(*normal_seedlings("cabbage", 20) == doctest::Approx(.96));  // not tested: between 93 and 99
  CHECK_FALSE(normal_seedlings("cabbage", 35));
  CHECK_FALSE(normal_seedlings("leek", 20));
  CHECK_FALSE(normal_seedlings("onion", 45));
  CHECK(*warmth_factor("spinach", 15, 25) == doctest::Approx(28 / 82.));
  CHECK(*warmth_factor("lettuce", {}, 30) == doctest::Approx(12 / 99.));
}

TEST_CASE("published: viability equation (Ellis & Roberts 1980; constants from memory, days recomputed)") {
  CHECK_PRINTS(*days_a_probit("onion", {0, 5, 5}), 21821, 0);
  CHECK_PRINTS(*days_a_probit("onion", {0, 8, 20}), 741.44, 2);
  CHECK_PRINTS(*days_a_probit("onion", {0, 10, 20}), 341.82, 2);
  CHECK_PRINTS(*days_a_probit("onion", {0, 10, 25}), 172.78, 2);
  CHECK_PRINTS(*days_a_probit("lettuce", {0, 5, 5}), 40871, 0);
  CHECK_PRINTS(*days_a_probit("lettuce", {0, 8, 20}), 577.93, 2);
  CHECK_PRINTS(*days_a_probit("lettuce", {0, 10, 20}), 198.15, 2);
  CHECK_PRINTS(*days_a_probit("lettuce", {0, 10, 25}), 93.41, 2);
  CHECK_PRINTS(100 * *aged_germination("onion", .95, {365, 10, 20}), 71.8, 1);
  CHECK_FALSE(aged_germination("kale", .95, {365, 10, 20}));
  CHECK_THROWS_AS(aged_germination("onion", 1.2, {365, 10, 20}), std::invalid_argument);
  CHECK_THROWS_AS(days_a_probit("onion", {-1, 10, 20}), std::invalid_argument);
}

TEST_CASE("heat: a poor tray of spinach at 25 °C is likely the heat's, a good one is not accused") {
  LotQuestion question = question_about("spinach", {.4, .33, .47, ""});
  question.temperature = 25;
  CHECK(weight_of(question, "heat") == "likely");
  question.temperature = 15;
  CHECK(weight_of(question, "heat") == "unlikely");
  question.temperature = 20;
  CHECK(question_lot(question).front().sentence ==
        "At 20 °C spinach gives about 52 % normal seedlings, at its best 96 %: sow cooler.");
  question.temperature = 25;
  question.in_the_end = {.97, .94, .99, ""};
  CHECK(weight_of(question, "heat") == "open");
}

TEST_CASE("of many trays, what one in twenty shows by chance accuses nobody") {
  LotQuestion question = question_about("kale", {.8, .75, .85, ""});
  Finding row;
  row.kind = FindingKind::row;
  row.tray = "A";
  row.p_adjusted = .02;
  question.report.trays = 1;
  question.report.findings = {row};
  CHECK(weight_of(question, "sower") == "likely");
  question.report.trays = 12;
  CHECK(weight_of(question, "sower") == "none");
  for (const char* tray : {"B", "C"}) {
    question.report.findings.push_back(row);
    question.report.findings.back().tray = tray;
  }
  CHECK(weight_of(question, "sower") == "likely");
  question.report.findings = {row};
  question.report.findings[0].p_adjusted = .002;
  CHECK(weight_of(question, "sower") == "likely");
}

TEST_CASE("no more certain than the evidence: an interval that reaches the claim leaves it open") {
  LotQuestion question = question_about("lettuce", {.7, .6, .79, ""});
  question.minimum_percent = 80;
  CHECK(weight_of(question, "minimum") == "likely");
  question.still_to_come = .3;
  CHECK(weight_of(question, "minimum") == "possible");
  CHECK(weight_of(question, "timing") == "likely");
  question.in_the_end.high = .81;
  CHECK(weight_of(question, "minimum") == "open");
  question.in_the_end = {.9, .85, .94, ""};
  CHECK(weight_of(question, "minimum") == "unlikely");
}

TEST_CASE("before the crop's telling day neither pack nor law is held against a sowing") {
  LotQuestion question = question_about("endive", {.5, .4, .6, ""});
  question.minimum_percent = 70;
  question.pack_percent = 95;
  question.judge_on = 14;
  CHECK(weight_of(question, "minimum") == "open");
  CHECK(weight_of(question, "pack") == "open");
  question.judge_on.reset();
  CHECK(weight_of(question, "minimum") == "likely");
  CHECK(weight_of(question, "pack") == "possible");
  question.judge_on = 14;
  question.counted = false;  // what earlier sowings gave does not wait
  question.earlier = Estimate{.5, .4, .6, ""};
  CHECK(weight_of(question, "minimum") == "likely");
}

TEST_CASE("pack, earlier sowings and age") {
  LotQuestion question = question_about("onion", {.7, .62, .78, ""});
  question.pack_percent = 92;  // 7 CFR 201.63: a label of 90 to under 96 may be 6 points off
  CHECK(weight_of(question, "pack") == "possible");
  question.pack_percent = 83;
  CHECK(weight_of(question, "pack") == "open");
  question.pack_percent = 75;
  CHECK(weight_of(question, "pack") == "unlikely");
  question.stored = Storage{1500, 10, 20};
  CHECK(weight_of(question, "age") == "possible");
  question.stored = Storage{100, 5, 5};
  CHECK(weight_of(question, "age") == "unlikely");
  question.earlier = Estimate{.72, .65, .79, ""};
  CHECK(question_lot(question).size() >= 3);
  CHECK(weight_of(question, "lot") == "open");
  question.earlier = Estimate{.95, .93, .97, ""};
  CHECK(weight_of(question, "lot") == "unlikely");
}

TEST_CASE("where nothing is counted yet, earlier sowings are held against pack and law, or nothing is") {
  LotQuestion question = question_about("lettuce", {.9, .8, .97, ""});
  question.counted = false;
  question.pack_percent = 92;
  question.minimum_percent = 80;
  question.temperature = 30;
  CHECK(question_lot(question).empty());
  question.earlier = Estimate{.6, .5, .7, ""};
  CHECK(weight_of(question, "pack") == "possible");
  CHECK(weight_of(question, "minimum") == "likely");
  CHECK(weight_of(question, "lot") == "none");
  CHECK(weight_of(question, "heat") == "none");
  for (const Suspicion& suspicion : question_lot(question))
    CHECK(suspicion.sentence.find("this sowing") == std::string::npos);
}

TEST_CASE("the sower, the edge and patches are named from the findings") {
  LotQuestion question = question_about("leek", {.9, .85, .94, ""});
  question.report.findings = {{FindingKind::column, "A", "column 5", "Column 5 is empty.", 0, 0, {}},
                              {FindingKind::edge, "A", "the edge", "The edge is dry.", 0, 0, {}}};
  CHECK(weight_of(question, "sower") == "likely");
  question.report.findings[0].may_be_dry_side = true;
  CHECK(weight_of(question, "sower") == "possible");
  CHECK(weight_of(question, "edge") == "likely");
  CHECK(weight_of(question, "patch") == "none");
  for (const FindingKind kind : {FindingKind::clump, FindingKind::corner}) {
    question.report.findings = {{kind, "A", "", "Dry.", 0, 0, {}}};
    CHECK(weight_of(question, "patch") == "likely");
  }
  question.report.cells = 100;
  question.report.empty = 97;
  CHECK(weight_of(question, "patch") == "none");
  question.report.findings.clear();
  CHECK(weight_of(question, "sower") == "none");
  question.report.gaps = GapExplanation{};
  question.report.gaps->verdict = GapVerdict::more;
  question.report.gaps->cause = GapCause::cannot_tell;
  CHECK(weight_of(question, "sower") == "possible");
  question.report.gaps->verdict = GapVerdict::explained;
  CHECK(weight_of(question, "sower") == "unlikely");
}

TEST_CASE("prices, times and limits: built in, overridden by name, nonsense refused") {
  Economy economy = built_in_economy();
  CHECK(economy.assurance == .95);
  CHECK(economy.gap_limit == .05);
  CHECK(!economy.currency.empty());
  CHECK(values_of(economy).size() == economy_names().size());
  for (const auto& [name, value] : values_of(economy)) CHECK(value > 0);  // none missing from the list
  set(economy, "seed_price", .5);
  CHECK(economy.seed_price == .5);
  CHECK(is_price("seed_price"));
  CHECK_FALSE(is_price("assurance"));
  CHECK_THROWS_WITH_AS(set(economy, "seed_price", -1), "seed_price is -1, but must be a number, 0 or more",
                       std::invalid_argument);
  CHECK_THROWS_WITH_AS(set(economy, "assurance", 1.5), "assurance is 1.5, but must be between 0.5 and 0.9999",
                       std::invalid_argument);
  CHECK_THROWS_AS(set(economy, "seed_price", std::numeric_limits<double>::quiet_NaN()),
                  std::invalid_argument);
  CHECK_THROWS_AS(set(economy, "beer_price", 1), std::invalid_argument);
  const Economy own = with_list(
      economy,
      R"({"format": "braird-economy", "version": 1, "currency": "shells", "values": {"tray_price": 9}})");
  CHECK(own.currency == "shells");
  CHECK(own.tray_price == 9);
  CHECK(own.seed_price == .5);
  CHECK_THROWS_AS(with_list(economy, "{}"), std::invalid_argument);
  CHECK_THROWS_AS(with_list(economy, R"({"format": "braird-economy", "version": 2})"), std::invalid_argument);
  CHECK_THROWS_AS(
      with_list(economy, R"({"format": "braird-economy", "version": 1, "values": {"tray_price": "x"}})"),
      std::invalid_argument);
}
