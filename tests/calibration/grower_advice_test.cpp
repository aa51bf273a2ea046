// SPDX-License-Identifier: Apache-2.0
#include "calibration/grower_advice.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <span>
#include <stdexcept>

#include "calibration/lot_evidence.h"
#include "tests/calibration/advice_requests.h"
#include "tests/calibration/trays.h"
#include "tests/times.h"

using namespace braird;
using test::request_for, test::tray_with;

namespace {

bool is_on_wanted(const std::string& remark) {
  return remark.starts_with("Too few seeds") &&
         remark.ends_with(": 1 is taken to be wanted (or tell --wanted).");
}

}  // namespace

TEST_CASE("where nothing more is told, the first choice is what count says of the same tray") {
  constexpr std::array crops = {"kale", "onion", "lettuce", "pepper"};
  for (const char* crop : std::span(crops).first(test::times(4, 1)))
    for (const int gaps : {0, 2, 8, 11, 20, 35, 45, 70, 100})
      for (const int seeds : {1, 3})
        for (const int day : {3, 7, 9, 12, 30}) {
          const Tray tray = tray_with(gaps, seeds, seeds);
          const AdviceRequest request = request_for(tray, crop, day);
          const AdviceReport report = advise_on(request);
          const Advice rule = advise(weigh(tray, request.crop, day));
          CAPTURE(crop);
          CAPTURE(gaps);
          CAPTURE(day);
          REQUIRE(report.stand);
          CHECK(report.stand->rule.what == rule.what);
          const OptionKind first = report.stand->choices.options.front().kind;
          switch (rule.action) {
            case Action::wait:
              CHECK(first == OptionKind::wait);
              break;
            case Action::accept:
              CHECK(first == OptionKind::accept);
              break;
            case Action::resow:
              CHECK(first == OptionKind::fresh_tray);
              break;
            default:
              CHECK((first == OptionKind::fill || first == OptionKind::resow_gaps ||
                     (report.stand->too_poor && first == OptionKind::accept)));
          }
        }
}

TEST_CASE("doubles and the counter's doubt weigh in the advice as they do in the count") {
  Tray tray = tray_with(42, 1, 1);
  for (std::size_t at = 42; at < 54; ++at) tray.cells[at].count = 2;
  for (Cell& cell : tray.cells) {
    cell.probability = {.02, .02, .02};
    cell.probability[static_cast<std::size_t>(cell.count)] = .96;
  }
  const AdviceRequest request = request_for(tray, "kale", 16);
  const Evidence counted = weigh(tray, request.crop, 16);
  CHECK(advise(counted).action == Action::fill_and_test_lot);
  CHECK(advise_on(request).stand->rule.action == Action::fill_and_test_lot);
  const Evidence of_lot = evidence_for_rule(*request.lot, request.crop, request.day, 1, 0);
  CHECK(of_lot.germination->low == doctest::Approx(counted.germination->low));
  CHECK(of_lot.germination->high == doctest::Approx(counted.germination->high));
  CHECK(of_lot.gaps.high == doctest::Approx(counted.gaps.high));
}

TEST_CASE("gaps are resown where the spare plants are too few to fill them") {
  const auto first = [](int with_two) {
    Tray tray = tray_with(20, 1, 1);
    for (std::size_t at = 20; at < 20U + static_cast<unsigned>(with_two); ++at) tray.cells[at].count = 2;
    const AdviceReport report = advise_on(request_for(tray, "kale", 12));
    CHECK(report.stand->rule.action == Action::fill);
    return report.stand->choices.options.front().kind;
  };
  CHECK(first(0) == OptionKind::resow_gaps);
  CHECK(first(3) == OptionKind::resow_gaps);
  CHECK(first(20) == OptionKind::fill);
}

TEST_CASE("a told bed, date or price ranks by cost, and the bed is planned with spare") {
  AdviceRequest request = request_for(tray_with(25, 1, 1), "kale", 12);
  CHECK(advise_on(request).stand->ranked_by == RankedBy::rule);
  CHECK_FALSE(advise_on(request).sowing);
  request.need = 200;
  request.packs = {{250, 3}};
  const AdviceReport report = advise_on(request);
  CHECK(report.stand->ranked_by == RankedBy::cost);
  REQUIRE(report.sowing);
  CHECK(report.sowing->cells > 200);
  CHECK(report.sowing->chance >= .95);
  CHECK(report.order.seeds >= report.sowing->seeds);
  CHECK(report.batch.by == ChosenBy::gap_limit);
  request.prices_told = true;
  CHECK(advise_on(request).batch.by == ChosenBy::cost);
}

TEST_CASE("the pack alone will do, and nothing at all will not") {
  AdviceRequest request;
  CHECK_THROWS_WITH_AS(advise_on(request),
                       "nothing is known of the lot: name a file of counts, or state the pack's germination",
                       std::invalid_argument);
  request.pack_percent = 90;
  request.need = 600;
  const AdviceReport report = advise_on(request);
  CHECK_FALSE(report.stand);
  CHECK(report.in_the_end.high - report.in_the_end.low > .1);  // a pack's word is not 400 seeds in this bench
  CHECK(report.sowing->cells > 600);
  request.pack_percent = 120;
  CHECK_THROWS_WITH_AS(advise_on(request),
                       "germination of the pack is 120, but must be above 0 and at most 100 %",
                       std::invalid_argument);
}

TEST_CASE(
    "what the trays show is told apart from the pack's word: the rate in the end, and what is still to "
    "come") {
  AdviceRequest request = request_for(tray_with(20, 1, 1), "kale", 8);
  const AdviceReport alone = advise_on(request);
  request.pack_percent = 100;
  const AdviceReport beside_pack = advise_on(request);
  CHECK(beside_pack.in_the_end.estimate == doctest::Approx(alone.in_the_end.estimate));
  CHECK(beside_pack.still_to_come == doctest::Approx(alone.still_to_come));
}

TEST_CASE("a dead lot is not sown again: no remedy by its seed, no plan of the bed") {
  AdviceRequest request = request_for(tray_with(100, 1, 1), "kale", 30);
  request.need = 90;
  const AdviceReport report = advise_on(request);
  CHECK(report.batch.too_poor);
  CHECK_FALSE(report.sowing);
  REQUIRE(report.stand->choices.options.size() == 1);
  CHECK(report.stand->choices.options.front().kind == OptionKind::accept);
  CHECK_FALSE(report.stand->first_is_advised);
  request.need.reset();
  CHECK_FALSE(advise_on(request).stand->first_is_advised);
  // A few that came up are all that is needed.
  AdviceRequest enough = request_for(tray_with(80, 1, 1), "kale", 30);
  enough.need = 10;
  CHECK(advise_on(enough).stand->first_is_advised);
  // On a bench too hot for the next batch, the trays that stand can still be sown again.
  AdviceRequest hot = request_for(tray_with(50, 1, 1), "lettuce", 30);
  hot.temperature = 20;
  hot.next_temperature = 35;
  const AdviceReport too_hot = advise_on(hot);
  CHECK(too_hot.batch.too_poor);
  CHECK_FALSE(too_hot.stand->too_poor);
}

TEST_CASE("a jammed line of the sower is the sower's, not the seed's: no more seeds a cell for it") {
  Tray tray = tray_with(0, 2, 2);
  for (std::size_t at = 0; at < 100; ++at) {
    tray.cells[at].count = at % 10 == 4 ? 0 : at % 7 == 0 ? 1 : 2;
    if (at % 31 == 0) tray.cells[at].count = 0;
  }
  const AdviceReport jammed = advise_on(request_for(tray, "kale", 20));
  CHECK(jammed.sower.missed == doctest::Approx(.1));
  CHECK(jammed.batch.chosen <= 2);
  // The same gaps strewn over the tray: with two seeds a cell nobody can tell whose they are.
  Tray strewn = tray;
  for (std::size_t row = 0; row < 10; ++row)
    std::swap(strewn.cells[10 * row + 4].count, strewn.cells[10 * row + (3 * row) % 10].count);
  CHECK(advise_on(request_for(strewn, "kale", 20)).batch.chosen > 2);
}

TEST_CASE("missed cells and doubles that the counts show go into the next batch") {
  Tray missed = tray_with(14, 4, 4);
  for (int at = 14; at < 100; ++at)
    missed.cells[static_cast<std::size_t>(at)].count -= at % 9 == 0 ? 2 : at % 2;
  CHECK(advise_on(request_for(missed, "leek", 20)).sower.missed > .05);
  Tray doubles = tray_with(5, 1, 1);
  for (int at = 50; at < 62; ++at) doubles.cells[static_cast<std::size_t>(at)].count = 2;
  CHECK(advise_on(request_for(doubles, "kale", 20)).sower.doubles > .03);
}

TEST_CASE("a sower that is told to miss no cell misses none") {
  Tray missed = tray_with(14, 4, 4);
  for (int at = 14; at < 100; ++at)
    missed.cells[static_cast<std::size_t>(at)].count -= at % 9 == 0 ? 2 : at % 2;
  AdviceRequest request = request_for(missed, "leek", 20);
  CHECK(advise_on(request).sower.missed > 0);
  request.missed_told = true;
  CHECK(advise_on(request).sower.missed == 0);
}

TEST_CASE("no more plants are wanted than were sown, unless they are told") {
  // Of onion growers usually sow several seeds a cell, and want as many plants.
  AdviceRequest request = request_for(tray_with(5, 1, 1), "onion", 14);
  const AdviceReport singly = advise_on(request);
  CHECK(singly.wanted.low == 1);
  CHECK(singly.wanted.high == 1);
  CHECK(singly.stand->choices.full == 95);
  CHECK(std::ranges::any_of(singly.remarks, &is_on_wanted));
  request.wanted = Wanted{4, 6};
  CHECK(advise_on(request).stand->choices.full == 0);
  const AdviceReport usual = advise_on(request_for(tray_with(5, 5, 5), "onion", 14));
  CHECK(usual.wanted.low > 1);
  CHECK(std::ranges::none_of(usual.remarks, &is_on_wanted));
}

TEST_CASE("seeds unknown, or a photo in doubt") {
  Tray tray = tray_with(20, 1, 1);
  tray.seeds_per_cell.reset();
  CHECK_THROWS_WITH_AS(advise_on(request_for(tray, "kale", 12)),
                       "say how many seeds were sown a cell: --seeds N", std::invalid_argument);
  AdviceRequest request = request_for(tray_with(60, 1, 1), "kale", 12);
  CHECK_FALSE(advise_on(request).suspicions.empty());
  request.fit = .5;
  const AdviceReport in_doubt = advise_on(request);
  CHECK(in_doubt.stand->rule.action == Action::look_at_picture);
  CHECK_FALSE(in_doubt.stand->first_is_advised);
  CHECK(in_doubt.suspicions.empty());
}
