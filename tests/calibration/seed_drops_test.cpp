// SPDX-License-Identifier: Apache-2.0
#include "calibration/seed_drops.h"

#include <doctest/doctest.h>

#include <stdexcept>

#include "calibration/census_lots.h"
#include "counted_photo.h"

using namespace braird;
using braird::test::photo;

TEST_CASE("a census of seeds alone gives no rates of what came up") {
  auto seeds = photo("drop.jpg", "", {1, 1, 1, 1});
  seeds.counted = Counted::seeds;
  const std::vector<Census> censuses = {seeds};
  CHECK_THROWS_WITH_AS(
      lots_of(censuses, {}),
      "drop.jpg was counted for seeds, before anything came up; give the later count of the same "
      "trays' seedlings too, or leave it out",
      std::invalid_argument);
}

TEST_CASE("seeds that lay in a cell are its denominator") {
  auto drop = photo("drop.jpg", "", {0, 2, 3, 2, 1, 0});
  drop.counted = Counted::seeds;
  SUBCASE("cell by cell; without a seed, a cell is not sown") {
    const auto lots = lots_of(std::vector{drop, photo("a.jpg", "", {0, 1, 2, 0, 1, 1})}, {});
    REQUIRE(lots.size() == 1);
    const auto& cells = lots[0].trays.at(0).cells;
    const std::vector<int> wanted = {0, 2, 3, 2, 1, 1};  // the last came up, so it had one
    for (std::size_t i = 0; i < cells.size(); ++i) {
      CHECK(cells[i].seeds == wanted[i]);
      CHECK(lots[0].readings[0][i].seeds == wanted[i]);
    }
    REQUIRE(lots[0].remarks.size() == 1);
    CHECK(lots[0].remarks[0].find("1 of 6 cells got none") != std::string::npos);
  }
  SUBCASE("a cell counts for as many seedlings as seeds lay in it, whatever was to be sown") {
    auto up = photo("a.jpg", "", {0, 2, 3, 2, 2, 0});
    for (const auto told : {std::optional<int>(), std::optional(2)}) {
      up.trays[0].seeds_per_cell = told;
      const auto lots = lots_of(std::vector{drop, up}, {});
      CHECK(lots[0].readings[0][2].seedlings == 3);
      CHECK(lots[0].readings[0][4].seedlings == 1);
      CHECK(lots[0].readings[0][0].off == 0);
    }
  }
  SUBCASE("a tray that was turned round in between is turned back") {
    auto turned = photo("drop.jpg", "", {2, 2, 2, 2, 2, 0});
    turned.counted = Counted::seeds;
    const auto lots = lots_of(std::vector{turned, photo("a.jpg", "", {0, 1, 2, 1, 1, 2})}, {});
    CHECK(lots[0].trays[0].cells[0].seeds == 0);
    CHECK(lots[0].trays[0].cells[5].seeds == 2);
  }
  SUBCASE("trays with a tag are paired by it, in whatever order") {
    const auto tagged = [](Census census, const char* tag) {
      census.trays[0].label = TrayLabel{tag, {}, {}, {}, {}, {}};
      return census;
    };
    auto full = photo("full.jpg", "", {2, 2, 2, 2, 2, 2});
    full.counted = Counted::seeds;
    const auto first = tagged(drop, "K1"), second = tagged(full, "K2"),
               up = tagged(photo("a.jpg", "", {0, 1, 2, 1, 1, 0}), "K1"),
               other = tagged(photo("b.jpg", "", {1, 1, 1, 1, 1, 1}), "K2");
    const auto lots = lots_of(std::vector{first, second, other, up}, {});
    CHECK(lots[0].trays[0].cells[0].seeds == 2);
    CHECK(lots[0].trays[1].cells[0].seeds == 0);
    CHECK_THROWS_WITH_AS(
        lots_of(std::vector{first, tagged(full, "K3"), up, other}, {}),
        "the tray K2 of lot leek (b.jpg) was counted for seedlings, but no tray of its tag and "
        "sowing for seeds; give both counts of each tray, once",
        std::invalid_argument);
  }
  SUBCASE("other trays are refused") {
    CHECK_THROWS_AS(lots_of(std::vector{drop, photo("a.jpg", "", {0, 1, 2, 0})}, {}), std::invalid_argument);
    CHECK_THROWS_AS(lots_of(std::vector{drop, drop, photo("a.jpg", "", {0, 1, 2, 0, 1, 1})}, {}),
                    std::invalid_argument);
  }
}
