// SPDX-License-Identifier: Apache-2.0
#include "calibration/hand_counts.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>
#include <stdexcept>

using namespace braird;

namespace {

std::vector<Lot> lots_from(const std::string& text, const HandCountOptions& options = {}) {
  std::istringstream in(text);
  return read_hand_counts(in, "bench.csv", options);
}

std::string refusal(const std::string& text, const HandCountOptions& options = {}) {
  try {
    lots_from(text, options);
  } catch (const std::invalid_argument& why) {
    return why.what();
  }
  return "";
}

constexpr const char* kHeader = "lot,tray,row,col,count\n";

}  // namespace

TEST_CASE("names that are no UTF-8 are refused with their lines") {
  CHECK(refusal(std::string(kHeader) + "Bl\xE9,x,1,1,3\nB,\xE9,1,2,1\n") ==
        "bench.csv, line 2: lot is not written in UTF-8; save the table in UTF-8\n"
        "bench.csv, line 3: tray is not written in UTF-8; save the table in UTF-8");
}

TEST_CASE("surplus seedlings are cut for the rates but stay in the counts, unless seeds are clusters") {
  HandCountOptions options;
  options.seeds = 1;
  const std::string rows = std::string(kHeader) + "B,x,1,1,3\nB,x,1,2,1\n";
  const Lot single = lots_from(rows, options)[0];
  CHECK(single.readings[0][0].seedlings == 1);
  CHECK(single.trays[0].cells[0].seedlings == 3);
  options.seed = SeedKind::cluster;
  const Lot cluster = lots_from(rows, options)[0];
  CHECK(cluster.readings[0][0].seedlings == 3);
  CHECK(cluster.seed == SeedKind::cluster);
  CHECK(lots_from("lot,sown,germinated\nB,50,60\n", options)[0].seed == SeedKind::cluster);
}

TEST_CASE("one row a cell: lots and trays in order of appearance, seeds from the option") {
  HandCountOptions options;
  options.seeds = 3;
  options.lattice = LatticeKind::staggered;
  const auto lots =
      lots_from(std::string(kHeader) + "B,x,1,1,2\nA,y,1,1,0\nB,x,1,2,3\nB,x,2,2,1\nB,x,2,1,0\n", options);
  REQUIRE(lots.size() == 2);
  CHECK(lots[0].name == "B");
  REQUIRE(lots[0].trays.size() == 1);
  const TrayMap& tray = lots[0].trays[0];
  CHECK(tray.layout.rows == 2);
  CHECK(tray.layout.cols == 2);
  CHECK(tray.layout.lattice == LatticeKind::staggered);
  CHECK(tray.cells[1].seedlings == 3);
  CHECK(tray.cells[2].seedlings == 0);
  CHECK(tray.cells[3].seeds == 3);
  CHECK(tray.first_number == 1);
  CHECK(lots[0].readings[0].size() == 4);
  CHECK(lots[0].remarks.empty());
}

TEST_CASE("a list that counts from 0, with holes and its own seeds") {
  const auto lots = lots_from("seeds,lot,tray,row,col,count\n2,A,1,0,0,1\n2,A,1,1,1,2\n0,A,1,0,1,0\n");
  const TrayMap& tray = lots[0].trays[0];
  CHECK(tray.first_number == 0);
  CHECK(tray.cells[0].seeds == 2);
  CHECK(tray.cells[1].seeds == 0);
  CHECK(tray.cells[2].seeds == 0);
  CHECK(lots[0].seeds_known);
  CHECK(lots[0].remarks ==
        std::vector<std::string>{"Tray 1: 1 of 2 x 2 cells have no row and were left out."});
}

TEST_CASE("without seeds the cells stand, and it is known that seeds are not") {
  CHECK_FALSE(lots_from(std::string(kHeader) + "A,1,1,1,3\n")[0].seeds_known);
}

TEST_CASE("one row a replicate, and one row an inspection") {
  const auto totals = lots_from("lot,sown,germinated\nA,100,92\nA,100,88\n");
  CHECK(totals[0].replicates.size() == 2);
  CHECK(totals[0].replicates[1].seedlings == 88);
  HandCountOptions options;
  options.sown = 20;
  const auto newly = lots_from("lot,day,germinated\nA,0,0\nA,3,1\nA,4.5,12\n", options);
  CHECK(newly[0].course->times == std::vector<double>{3, 4.5});
  CHECK(newly[0].course->came_up == std::vector<double>{1, 13});
  CHECK(newly[0].last_day == 4.5);
  options.daily = DailyCounts::up_in_all;
  CHECK(lots_from("lot,day,germinated\nA,3,1\nA,4,12\n", options)[0].course->came_up ==
        std::vector<double>{1, 12});
}

TEST_CASE("bad rows: file, line, what is wrong, all of them at once") {
  CHECK(refusal(std::string(kHeader) +
                "A,1,1,1,two\nA,1,1,2\nA,1,1,3,2\nA,1,1,3,1\nA,1,-1,4,1\n,1,1,5,1\nA,1,1,6,1.5\n") ==
        "bench.csv, line 2: count is \"two\", but must be a whole number from 0 to 1000\n"
        "bench.csv, line 3: count is missing\n"
        "bench.csv, line 5: row 1, col 3 of tray 1 was counted in line 4 already\n"
        "bench.csv, line 6: row is \"-1\", but must be a whole number from 0 to 1000\n"
        "bench.csv, line 7: lot is missing\n"
        "bench.csv, line 8: count is \"1.5\", but must be a whole number from 0 to 1000");
  CHECK(refusal("lot,tray,row,col,count,seeds\nA,1,1,1,2,0\n") ==
        "bench.csv, line 2: count is not 0, but no seed was sown");
  CHECK(refusal("lot,sown,germinated\nA,0,0\n") == "bench.csv, line 2: sown is 0, but must be > 0");
  CHECK(refusal("lot,sown,germinated\nA,85,78\nA,78,85\n") ==
        "bench.csv, line 3: 85 germinated, more than the 78 sown (for seed clusters name the crop: --crop "
        "beet)");
}

TEST_CASE("at most ten bad rows are told") {
  std::string text = kHeader;
  for (int row = 0; row < 50; ++row) text += "A,1,1,1,x\n";
  const std::string told = refusal(text);
  CHECK(std::count(told.begin(), told.end(), '\n') == 9);
}

TEST_CASE("days that go back, counts that fall, more than sown, no seeds told, never inspected") {
  HandCountOptions options;
  options.sown = 10;
  const std::string header = "lot,day,germinated\n";
  CHECK(refusal(header + "A,3,1\nA,3,1\n", options) ==
        "bench.csv, line 3: day 3 does not come after the one before it");
  CHECK(refusal(header + "A,3,6\nA,4,8\n", options) ==
        "bench.csv, line 3: 14 germinated in all, more than the 10 sown (if the counts are totals, say "
        "--cumulative)");
  CHECK(refusal(header + "A,3,6\nA,4,8\nA,5,1\nB,4,3\nB,4,1\n", options) ==
        "bench.csv, line 3: 14 germinated in all, more than the 10 sown (if the counts are totals, say "
        "--cumulative)\n"
        "bench.csv, line 6: day 4 does not come after the one before it");
  CHECK(refusal(header + "A,0,0\n", options) == "bench.csv: lot A was never inspected after sowing");
  CHECK(refusal(header + "A,x,0\n", options) ==
        "bench.csv, line 2: day is \"x\", but must be a number, 0 or more");
  options.daily = DailyCounts::up_in_all;
  CHECK(refusal(header + "A,3,6\nA,4,5\n", options) ==
        "bench.csv, line 3: 5 germinated in all, fewer than the 6 before");
  CHECK(refusal(header + "A,3,6\n") == "bench.csv: say how many seeds each lot had: --sown N");
}

TEST_CASE("no table at all") {
  CHECK(refusal("") == "bench.csv: holds no counts");
  CHECK(refusal(kHeader) == "bench.csv: holds no counts");
  CHECK(refusal("a,b\n1,2\n") ==
        "bench.csv, line 1: the first line must name the columns: lot,tray,row,col,count or "
        "lot,sown,germinated or lot,day,germinated");
  CHECK(refusal("lot,sown,germinated\nA,\"1,2\n") == "bench.csv, line 2: a quote is opened but never closed");
}
