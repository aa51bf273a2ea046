// SPDX-License-Identifier: Apache-2.0
// Advice on seed clusters, of which one may give several plants.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "calibration/empty_cells.h"
#include "tests/calibration/advice_requests.h"
#include "tests/calibration/near.h"
#include "tests/calibration/trays.h"

using namespace braird;
using test::request_for, test::tray_with;

namespace {

// One cluster a cell: so many cells of a hundred are empty, the others hold 1, 2 or 3 plants.
Tray beet_tray(int empty) {
  Tray tray = tray_with(empty, 2, 1);
  tray.crop = "beet";
  for (std::size_t at = static_cast<std::size_t>(empty); at < tray.cells.size(); ++at)
    tray.cells[at].count = 1 + static_cast<int>(at % 3);
  return tray;
}

}  // namespace

TEST_CASE("the same counts again, as an earlier sowing, change little of what is known of clusters") {
  AdviceRequest request = request_for(beet_tray(16), "beet", 20);
  const AdviceReport alone = advise_on(request);
  request.earlier = {*request.lot};
  const AdviceReport twice = advise_on(request);
  CHECK(twice.batch.chosen == alone.batch.chosen);
  CHECK(twice.stand->choices.options[0].full_cells ==
        doctest::Approx(alone.stand->choices.options[0].full_cells).epsilon(.05));
  CHECK(std::ranges::any_of(twice.suspicions, [](const Suspicion& one) {
    return one.sentence.starts_with("The lot does as before");
  }));
}

TEST_CASE("a single cluster a cell may give the plants that are usually wanted") {
  const AdviceRequest request = request_for(beet_tray(16), "beet", 20);
  CHECK(advise_on(request).wanted.low == usually_wanted(*request.crop->usual_seeds).low);
}

TEST_CASE("clusters that gave anything are held against pack and law") {
  AdviceRequest request = request_for(beet_tray(16), "beet", 20);
  request.pack_percent = 85;
  const auto weight_of = [&](const char* suspect) {
    const auto suspicions = advise_on(request).suspicions;
    return std::ranges::find(suspicions, suspect, &Suspicion::suspect)->weight;
  };
  CHECK(weight_of("pack") == Suspected::unlikely);  // 84 of 100 clusters came up
  // 7 CFR 201.31: beet 65 %. Of 47 clusters in a hundred that gave 1, 2 or 3 plants.
  const Tray poor = beet_tray(53);
  CHECK(advise(weigh(poor, request.crop, 20)).action == Action::fill_and_test_lot);
  request = request_for(poor, "beet", 20);
  CHECK(advise_on(request).stand->rule.action == Action::fill_and_test_lot);
  request.pack_percent = 90;
  CHECK(weight_of("pack") == Suspected::possible);
  CHECK(weight_of("minimum") == Suspected::likely);
  // On a cold bench few are up yet.
  request = request_for(beet_tray(97), "beet", 14);
  request.temperature = 8;
  CHECK(weight_of("minimum") == Suspected::open);
}

// Clusters fare each for itself: of three, all fail in the cube of the cases in which one does.
TEST_CASE("the next batch of clusters follows from what single ones gave") {
  Tray tray = tray_with(16, 2, 1);
  tray.crop = "beet";
  for (std::size_t at = 16; at < 43; ++at) tray.cells[at].count = 1;
  AdviceRequest request = request_for(tray, "beet", 20);
  request.wanted = Wanted{2, 6};
  const auto& rows = advise_on(request).batch.rows;
  REQUIRE(rows.at(2).seeds_per_cell == 3);
  CHECK_WITHIN(rows[2].empty, .16 * .16 * .16, .004);
  CHECK_WITHIN(rows[2].below, .16 * .16 * (.16 + 3 * .27), .015);
  CHECK(rows[2].seeds == 3);
  double plants = 0;
  for (const Cell& cell : tray.cells) plants += cell.count / 100.;
  CHECK(advise_on(request).in_the_end.estimate == doctest::Approx(plants).epsilon(.05));
}

TEST_CASE("clusters that gave anything, from cells with several") {
  const Estimate alive = clusters_alive({.25, .16, .36, ""}, 2);
  CHECK(alive.estimate == doctest::Approx(.5));
  CHECK(alive.low == doctest::Approx(.4));
  CHECK(alive.high == doctest::Approx(1 - .16));  // the gaps may be whole cells
  const Estimate one = clusters_alive({.25, .16, .36, ""}, 1);
  CHECK(one.estimate == doctest::Approx(.75));
  CHECK(one.low == doctest::Approx(.64));
  CHECK(one.high == doctest::Approx(.84));
  const Estimate missed = clusters_alive({.25, .16, .36, ""}, 2, .2);
  CHECK(missed.estimate == doctest::Approx(.75));
  CHECK(missed.low == doctest::Approx(1 - std::sqrt(.2)));
  CHECK(missed.high == doctest::Approx(1));
}

TEST_CASE("a good lot of clusters isn't blamed for cells that the sower missed") {
  Tray tray = tray_with(5, 2, 1);  // of a hundred
  tray.crop = "beet";
  for (std::size_t at = 5; at < tray.cells.size(); ++at) tray.cells[at].count = 6;
  tray.seeds_per_cell = 4;
  AdviceRequest request = request_for(tray, "beet", 20);
  CHECK(advise(weigh(tray, request.crop, 20)).action == Action::accept);
  request.pack_percent = 92;
  for (const double missed : {0., .05}) {
    request.sower.missed = missed;
    request.missed_told = missed > 0;
    for (const Suspicion& one : advise_on(request).suspicions) {
      CAPTURE(one.sentence);
      if (one.suspect == "minimum" || one.suspect == "pack") CHECK(one.weight != Suspected::likely);
      if (missed > 0 && one.suspect == "pack") CHECK(one.weight == Suspected::unlikely);
    }
  }
}
