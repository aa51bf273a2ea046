// SPDX-License-Identifier: Apache-2.0
#include "cli/order.h"

#include <doctest/doctest.h>

#include <stdexcept>

#include "cli/dates.h"

using namespace braird;
using namespace braird::cli;

namespace {

Order understand(const CountArguments& arguments) {
  return cli::understand(arguments, built_in_profiles());
}

std::string complaint_about(const CountArguments& arguments) {
  try {
    understand(arguments);
  } catch (const std::invalid_argument& why) {
    return why.what();
  }
  return "understood";
}

}  // namespace

TEST_CASE("a tray is told by rows and columns or by name") {
  const Order by_shape = understand({.tray = "22x12"});
  CHECK(by_shape.hints.rows == 22);
  CHECK(by_shape.hints.cols == 12);
  CHECK_FALSE(by_shape.hints.lattice.has_value());
  const Order by_name = understand({.tray = "paper-chain-264"});
  CHECK(by_name.hints.rows == 22);
  CHECK(by_name.hints.lattice == LatticeKind::staggered);
  CHECK(understand({.lattice = "square"}).hints.lattice == LatticeKind::square);
  CHECK(understand({}).hints.known_layouts.size() == built_in_profiles().trays.size());
}

TEST_CASE("corner cells are told clockwise, with the tray") {
  const Order order = understand({.tray = "2x3", .corners = {"10,20", "110.5,20", "110,70", "10,70"}});
  REQUIRE(order.hints.corners.has_value());
  CHECK((*order.hints.corners)[1].x == 110.5);
  CHECK(complaint_about({.corners = {"1,1", "2,1", "2,2", "1,2"}}) ==
        "--corners: needs the rows and columns too; tell them with --tray");
  CHECK(complaint_about({.tray = "2x3", .corners = {"1,1", "2;1", "2,2", "1,2"}}) ==
        "--corners 2;1: must be x,y in pixels, as in 412,80");
  CHECK(complaint_about({.tray = "2x3", .corners = {"1,1", "nan,1", "2,2", "1,2"}}) ==
        "--corners nan,1: must be x,y in pixels, as in 412,80");
  CHECK(
      complaint_about({.tray = "2x3", .corners = {"10,20", "10,70", "110,70", "110,20"}}) ==
      "--corners: the corners must go clockwise: first row's first and last cell, last row's last and first");
}

TEST_CASE("a crop in the list brings its look; any other is counted with a remark") {
  CHECK(understand({.crop = "Leeks"}).hints.habit == vision::SeedlingHabit::thread);
  CHECK(understand({.crop = "kale"}).hints.habit == vision::SeedlingHabit::round_pair);
  CHECK(understand({.crop = "beet"}).hints.habit == vision::SeedlingHabit::strap_pair);
  CHECK(understand({.crop = "Leeks"}).crop_name == "leek");
  const Order other = understand({.crop = "other"});
  CHECK(other.hints.habit == vision::SeedlingHabit::unknown);
  CHECK(other.crop_name == "other");
  REQUIRE(other.remarks.size() == 1);
  CHECK(understand({.crop = "onoin"}).remarks.at(0).find("did you mean onion?") != std::string::npos);
}

TEST_CASE("an option that makes no sense is named, with the remedy") {
  CHECK(complaint_about({.tray = "plug-182"}) ==
        "--tray plug-182: no known tray has this name (did you mean plug-128?); give its rows and columns, "
        "as in 8x16");
  CHECK(complaint_about({.tray = "0x12"}) == "--tray 0x12: rows and columns must be from 1 to 100");
  CHECK(complaint_about({.tray = "22x999"}) == "--tray 22x999: rows and columns must be from 1 to 100");
  CHECK(complaint_about({.tray = "plug-128", .lattice = "staggered"}) ==
        "--lattice staggered contradicts --tray plug-128, which is square; leave one of them out");
  CHECK(complaint_about({.lattice = "round"}) == "--lattice round: must be square or staggered");
  CHECK(complaint_about({.seeds = 0}) == "--seeds 0: must be from 1 to 50");
  CHECK(complaint_about({.sown = "2026-02-30"}) == "--sown 2026-02-30: must be a date, as in 2026-03-19");
  CHECK(complaint_about({.sown = "19.3.2026"}) == "--sown 19.3.2026: must be a date, as in 2026-03-19");
}

TEST_CASE("the age of a tray is the days from sowing to the photo, or a remark why not") {
  const Order order = understand({.sown = "2024-02-27"});
  const PhotoFacts photo{"a.jpg", 400, 300, "2024-03-01T07:00:00"};
  CHECK(age_days(photo, order) == 3);  // 2024 has a 29 February
  Tray tray;
  tray.cells.resize(1);
  tray.cells[0].count = 1;
  CHECK(age_remarks({photo, {tray}, {}}, order).empty());
  const PhotoFacts untimed{"a.jpg", 400, 300, std::nullopt}, early{"a.jpg", 400, 300, "2024-02-26T23:59:59"};
  CHECK_FALSE(age_days(untimed, order).has_value());
  CHECK(age_remarks({untimed, {tray}, {}}, order).size() == 1);
  CHECK_FALSE(age_days(early, order).has_value());
  CHECK(age_remarks({early, {tray}, {}}, order).at(0) ==
        "the photo was taken before the sowing date; check --sown and the photo's date");
  CHECK(age_remarks({untimed, {tray}, {}}, understand({})).empty());
  CHECK(age_remarks({photo, {tray}, {}}, understand({.sown = "2021-03-01"})).at(0) ==
        "the photo was taken 1,096 days after sowing; check --sown and the photo's date");
  const Order both = understand({.sown = "2024-02-27", .taken = "2024-03-08"});
  CHECK(age_days(untimed, both) == 10);
  CHECK(age_days(photo, both) == 3);  // the photo's own word goes first
  CHECK(age_remarks({photo, {tray}, {}}, both).at(0) ==
        "the photo itself says that it was taken on 2024-03-01, so --taken 2024-03-08 was not used");
  CHECK(age_remarks({photo, {tray}, {}}, understand({.taken = "2024-03-01"})).empty());
  CHECK(age_remarks({untimed, {tray}, {}}, both).empty());
}

TEST_CASE("seedlings on the day of sowing or the next are doubted") {
  const Order order = understand({.sown = "2026-04-01"});
  Tray tray;
  tray.cells.resize(2);
  tray.cells[1].count = 2;
  Census census{{"a.jpg", 400, 300, "2026-04-01T18:00:00"}, {tray}, {}};
  CHECK(age_remarks(census, order).at(0).starts_with("on the day of sowing nothing can be up yet"));
  census.photo.taken = "2026-04-02";
  CHECK(age_remarks(census, order).at(0).starts_with("a day after sowing nothing can be up yet"));
  census.counted = Counted::seeds;
  CHECK(age_remarks(census, order).empty());
  census.counted = Counted::seedlings;
  census.photo.taken = "2026-04-03";
  CHECK(age_remarks(census, order).empty());
}

TEST_CASE("a tray without anything up is remarked on, but where nothing can be up yet") {
  Tray tray;
  tray.cells.resize(2);
  Census census{{"a.jpg", 400, 300, "2026-04-02T18:00:00"}, {tray}, {}};
  const Order order = understand({.sown = "2026-04-01"});
  CHECK(age_remarks(census, order).empty());
  for (const Order& told : {understand({}), understand({.sown = "2026-03-31"})}) {
    const auto remarks = age_remarks(census, told);
    REQUIRE(remarks.size() == 1);
    CHECK(remarks[0] == kNothingSeen);
    CHECK(remarks[0].find("brown and orange leaves") != std::string::npos);  // what it can't see is no gap
  }
  census.trays[0].seeds_in_view = 0.9;
  CHECK(age_remarks(census, understand({})).empty());
  census.trays[0].seeds_in_view.reset();
  census.trays[0].cells[1].count = 1;
  CHECK(age_remarks(census, understand({})).empty());
  census.trays[0].cells[1].count = 0;
  census.counted = Counted::seeds;
  CHECK(age_remarks(census, understand({})).empty());
}
