// SPDX-License-Identifier: Apache-2.0
#include "calibration/census_lots.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <stdexcept>

#include "calibration/same_tray.h"
#include "counted_photo.h"

using namespace braird;
using braird::test::photo;
using namespace std::chrono_literals;

namespace {

CensusOptions sown_on(std::chrono::year_month_day day) {
  CensusOptions options;
  options.sown_on = std::chrono::sys_days(day);
  return options;
}

}  // namespace

TEST_CASE("each crop is a lot, or all are the lot that was named") {
  auto other = photo("b.jpg", "", {1, 1, 1, 1});
  other.trays[0].crop = std::nullopt;
  const std::vector<Census> censuses = {photo("a.jpg", "", {0, 1, 2, 2}), other};
  const auto lots = lots_of(censuses, {});
  REQUIRE(lots.size() == 2);
  CHECK(lots[0].name == "leek");
  CHECK(lots[1].name == "unnamed");
  CHECK(lots[0].trays[0].name == "a.jpg");
  CHECK(lots[0].trays[0].from_photo);
  CHECK(lots[0].trays[0].cells[2].seeds == 2);
  CensusOptions named;
  named.lot = "Harebell 3";
  named.seeds = 3;
  const auto one = lots_of(censuses, named);
  REQUIRE(one.size() == 1);
  CHECK(one[0].trays.size() == 2);
  CHECK(one[0].trays[0].cells[0].seeds == 3);
}

TEST_CASE("a lot of beets may hold more seedlings than seeds, one of leeks counts for full cells") {
  auto beets = photo("a.jpg", "", {0, 3, 4, 1});
  const auto leeks = lots_of(std::vector{beets}, {});
  CHECK(leeks[0].seed == SeedKind::single);
  CHECK(leeks[0].readings[0][1].seedlings == 2);
  CHECK(leeks[0].trays[0].cells[1].seedlings == 3);  // as counted
  beets.trays[0].crop = "beetroot";
  const auto lots = lots_of(std::vector{beets}, {});
  CHECK(lots[0].seed == SeedKind::cluster);
  CHECK(lots[0].readings[0][2].seedlings == 4);
}

TEST_CASE("seeds that nobody told") {
  auto census = photo("a.jpg", "", {0, 1, 2, 2});
  census.trays[0].seeds_per_cell = std::nullopt;
  CHECK_FALSE(lots_of(std::vector{census}, {})[0].seeds_known);
}

TEST_CASE("photos of several days are a time course; the rates are the last day's") {
  const std::vector<Census> censuses = {photo("d9.jpg", "2026-03-28T12:00:00", {2, 1, 2, 1}),
                                        photo("d5.jpg", "2026-03-24T12:00:00", {0, 1, 0, 0}),
                                        photo("d7.jpg", "2026-03-26T00:00:00", {2, 2, 2, 1})};
  const auto lots = lots_of(censuses, sown_on(2026y / 3 / 19));
  REQUIRE(lots.size() == 1);
  CHECK(lots[0].trays.size() == 1);
  CHECK(lots[0].trays[0].name == "d9.jpg");
  REQUIRE(lots[0].course);
  CHECK(lots[0].course->times == std::vector<double>{5.5, 7, 9.5});
  CHECK(lots[0].course->came_up == std::vector<double>{1, 6.5, 6.5});  // 7 then 6: made to rise
  CHECK(lots[0].course->sown == 8);
  CHECK(lots[0].last_day == 9.5);
}

TEST_CASE("a time course counts each cell for as many seedlings as the rate does") {
  const std::vector<Census> censuses = {photo("d5.jpg", "2026-03-24T00:00:00", {0, 3, 0, 1}),
                                        photo("d9.jpg", "2026-03-28T00:00:00", {0, 3, 4, 1})};
  const auto lots = lots_of(censuses, sown_on(2026y / 3 / 19));
  REQUIRE(lots[0].course);
  CHECK(lots[0].course->came_up == std::vector<double>{3, 5});
  auto drop = photo("drop.jpg", "", {2, 3, 2, 1});
  drop.counted = Counted::seeds;
  const auto sown = lots_of(std::vector{drop, censuses[0], censuses[1]}, sown_on(2026y / 3 / 19));
  REQUIRE(sown[0].course);
  CHECK(sown[0].course->sown == 8);
  CHECK(sown[0].course->came_up == std::vector<double>{4, 6});
}

TEST_CASE("photos of one day, or of unlike trays, are trays side by side") {
  const auto morning = photo("a.jpg", "2026-03-26T08:00:00", {1, 1, 1, 1});
  const auto noon = photo("b.jpg", "2026-03-26T12:00:00", {1, 1, 1, 0});
  const auto wide = photo("c.jpg", "2026-03-28T12:00:00", {1, 1, 1, 0, 1, 1});
  for (const auto& censuses : {std::vector{morning, noon}, std::vector{morning, wide}}) {
    const auto lots = lots_of(censuses, sown_on(2026y / 3 / 19));
    CHECK(lots[0].trays.size() == 2);
    CHECK_FALSE(lots[0].course);
    CHECK(lots[0].last_day.has_value());
  }
}

TEST_CASE("a tray counts for the lot and the sowing that it says, one that doesn't for what was told") {
  auto said = photo("a.jpg", "2026-03-26T12:00:00", {1, 1, 1, 1}), labelled = said, silent = said;
  said.trays[0].lot = "Rowan 12", said.trays[0].sown_on = "2026-03-20";
  labelled.trays[0].label = TrayLabel{"K7", "Heron 2", {}, "2026-03-21", {}, {}};
  CensusOptions told = sown_on(2026y / 3 / 22);
  told.lot = "Sorrel 4";
  const auto lots = lots_of(std::vector{said, labelled, silent}, told);
  REQUIRE(lots.size() == 3);
  CHECK(lots[0].name == "Rowan 12");
  CHECK(lots[0].last_day == 6.5);
  CHECK(lots[0].remarks.size() == 2);
  CHECK(lots[1].name == "Heron 2");
  CHECK(lots[1].last_day == 5.5);
  CHECK(lots[2].name == "Sorrel 4");
  CHECK(lots[2].last_day == 4.5);
  CHECK(lots[2].remarks.empty());
}

TEST_CASE("photos with unlike tags are never one tray, those with the same tag always are") {
  auto first = photo("a.jpg", "2026-03-26T12:00:00", {1, 0, 1, 1}),
       second = photo("b.jpg", "2026-03-28T12:00:00", {1, 1, 1, 1});
  first.trays[0].label = second.trays[0].label = TrayLabel{"K7", {}, {}, {}, {}, {}};
  const auto same = lots_of(std::vector{second, first}, {});
  REQUIRE(same[0].trays.size() == 1);
  CHECK(same[0].trays[0].name == "b.jpg");
  CHECK_FALSE(same[0].course);
  REQUIRE(same[0].remarks.size() == 1);
  CHECK(same[0].remarks[0].ends_with("would give a time course with the sowing date."));
  CHECK(lots_of(std::vector{second, first}, sown_on(2026y / 3 / 19))[0].course);
  second.trays[0].label->tag = "K8";
  const auto unlike = lots_of(std::vector{first, second}, sown_on(2026y / 3 / 19));
  CHECK(unlike[0].trays.size() == 2);
  CHECK_FALSE(unlike[0].course);
}

TEST_CASE("photos of several days show one tray only where what was up is up again") {
  const auto all_but = [](int every, int from) {
    std::vector<int> counts(72, 1);
    for (std::size_t at = static_cast<std::size_t>(from); at < counts.size();
         at += static_cast<std::size_t>(every))
      counts[at] = 0;
    return counts;
  };
  const auto early = photo("a.jpg", "2026-03-26T12:00:00", all_but(3, 1)),
             late = photo("b.jpg", "2026-03-28T12:00:00", all_but(6, 1));
  auto turned = late, upright = late;
  std::ranges::reverse(turned.trays[0].cells);
  upright.trays[0] = quarter_turned(upright.trays[0]);
  for (const auto& again : {late, turned, upright}) {
    const auto lots = lots_of(std::vector{early, again}, {});
    REQUIRE(lots[0].trays.size() == 1);
    CHECK(lots[0].trays[0].name == "b.jpg");
  }
  const auto other = photo("c.jpg", "2026-03-28T12:00:00", all_but(6, 3));
  for (const auto& options : {CensusOptions{}, sown_on(2026y / 3 / 19)}) {
    const auto lots = lots_of(std::vector{early, other}, options);
    CHECK(lots[0].trays.size() == 2);
    CHECK_FALSE(lots[0].course);
    REQUIRE(lots[0].remarks.size() == 1);
    CHECK(lots[0].remarks[0].starts_with("Photos of several days were counted as different trays"));
  }
  SUBCASE("several trays a day, whatever their order") {
    const auto early_other = photo("d.jpg", "2026-03-26T12:00:00", all_but(3, 0));
    const auto lots = lots_of(std::vector{early_other, early, late, other}, sown_on(2026y / 3 / 19));
    REQUIRE(lots[0].trays.size() == 2);
    CHECK(lots[0].trays[0].name == "b.jpg");
    CHECK(lots[0].course);
  }
}

TEST_CASE("of several sowings the latest may count alone, or those before it") {
  auto before = photo("a.jpg", "2026-03-24T12:00:00", {1, 1, 1, 1}),
       now = photo("b.jpg", "2026-04-20T12:00:00", {0, 1, 1, 1});
  before.trays[0].sown_on = "2026-03-10", now.trays[0].sown_on = "2026-04-10";
  const std::vector<Census> censuses = {now, before};
  CensusOptions which;
  CHECK(lots_of(censuses, which)[0].trays.size() == 2);
  which.sowings = Sowings::latest;
  const auto latest = lots_of(censuses, which);
  REQUIRE(latest[0].trays.size() == 1);
  CHECK(latest[0].trays[0].name == "b.jpg");
  CHECK(latest[0].last_day == 10.5);
  REQUIRE(latest[0].remarks.size() == 1);
  CHECK(latest[0].remarks[0] ==
        "Only the trays sown on 2026-04-10 are these; those sown before count as earlier sowings.");
  CHECK(lots_of(std::vector{now}, which)[0].remarks.empty());
  which.sowings = Sowings::earlier;
  const auto earlier = lots_of(censuses, which);
  REQUIRE(earlier[0].trays.size() == 1);
  CHECK(earlier[0].trays[0].name == "a.jpg");
  CHECK(lots_of(std::vector{now}, which).empty());
}

TEST_CASE("of the latest sowing, photos that may show the same trays again count on the last day only") {
  const auto first = photo("a.jpg", "2026-03-24T12:00:00", {1, 1, 1, 1}),
             second = photo("b.jpg", "2026-03-24T12:00:00", {0, 1, 1, 1}),
             again = photo("c.jpg", "2026-03-26T12:00:00", {1, 1, 1, 1});
  CensusOptions options = sown_on(2026y / 3 / 19);
  CHECK(lots_of(std::vector{first, second, again}, options)[0].trays.size() == 3);
  options.sowings = Sowings::latest;
  const auto lots = lots_of(std::vector{first, second, again}, options);
  REQUIRE(lots[0].trays.size() == 1);
  CHECK(lots[0].trays[0].name == "c.jpg");
  REQUIRE(lots[0].remarks.size() == 1);
  CHECK(lots[0].remarks[0] ==
        "Photos of several days may show the same trays, so that only the last day's count here.");
}

TEST_CASE("what gives a lot's rates: its trays in their last photos") {
  auto other = photo("o.jpg", "2026-03-28T12:00:00", {1, 1, 1, 1});
  other.trays[0].lot = "Rowan 12";
  const auto giving = giving_rates(std::vector{photo("a.jpg", "2026-03-24T12:00:00", {0, 1, 1, 1}), other,
                                               photo("b.jpg", "2026-03-26T12:00:00", {1, 1, 1, 1})},
                                   "leek", {});
  REQUIRE(giving.size() == 1);
  CHECK(giving[0].photo.file == "b.jpg");
}

TEST_CASE("where nothing is up and seeds lie in view, a tray of no known age was sown that day") {
  auto fresh = photo("a.jpg", "", {0, 0, 0, 0});
  CHECK_FALSE(lots_of(std::span(&fresh, 1), {}).at(0).last_day.has_value());
  fresh.trays[0].seeds_in_view = 0.9;
  const auto lots = lots_of(std::span(&fresh, 1), {});
  CHECK(lots.at(0).last_day == 0);
  CHECK(lots.at(0).remarks.size() == 1);
  auto dated = photo("b.jpg", "2026-04-09T12:00:00", {0, 0, 0, 0});
  dated.trays[0].seeds_in_view = 0.9;
  const auto told = lots_of(std::span(&dated, 1), sown_on(2026y / 4 / 1));
  CHECK(told.at(0).last_day == 8.5);
  CHECK(told.at(0).remarks.empty());
}

TEST_CASE("a photo from before the sowing, and no seeds a cell") {
  const std::vector<Census> early = {photo("a.jpg", "2026-03-10T08:00:00", {1, 1, 1, 1})};
  CHECK_THROWS_WITH_AS(lots_of(early, sown_on(2026y / 3 / 19)),
                       "a.jpg was taken on 2026-03-10, before the sowing date", std::invalid_argument);
  CensusOptions none;
  none.seeds = 0;
  CHECK_THROWS_AS(lots_of(early, none), std::invalid_argument);
}
