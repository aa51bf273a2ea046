// SPDX-License-Identifier: Apache-2.0
#include "cli/text/answer.h"

#include <doctest/doctest.h>

#include "cli/pictures.h"
#include "cli/text/progress.h"
#include "cli/text/seeds_answer.h"

using namespace braird;
using namespace braird::cli;

namespace {

/// A tray of `rows` x `cols` whose cells hold the counts given, one after the other, the rest `otherwise`.
Tray tray_with(int rows, int cols, std::vector<int> counts, int otherwise) {
  counts.resize(static_cast<std::size_t>(rows) * cols, otherwise);
  Tray tray;
  tray.layout = {rows, cols, LatticeKind::square};
  tray.fit = 0.99;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    Cell cell{static_cast<int>(i) / cols, static_cast<int>(i) % cols, {}, counts[i], {}, false};
    cell.probability.assign(static_cast<std::size_t>(counts[i]) + 1, 0.0);
    cell.probability.back() = 1;
    tray.cells.push_back(cell);
  }
  return tray;
}

Census census_of(Tray tray) {
  return {{"bench.jpg", 2400, 1800, "2026-04-10T08:00:00"}, {std::move(tray)}, {}};
}

Order order_for(const char* crop, const char* sown) {
  CountArguments arguments;
  arguments.crop = crop;
  arguments.sown = sown;
  arguments.lot = "Harebell 3";
  return understand(arguments, built_in_profiles());
}

}  // namespace

// 1 gap of 72: Wilson's equation with Student's t of 1.992171 (calibration/rates.h), 0.240 to 7.617 % by
// SciPy 1.10.1.
TEST_CASE("a good tray of leeks, in words") {
  Tray tray = tray_with(6, 12, {0, 1, 2, 2, 5}, 4);
  tray.crop = "leek";
  tray.seeds_per_cell = 5;
  tray.cells[1].review = true;
  CHECK(answer(census_of(tray), order_for("leek", "2026-03-27")) ==
        R"(bench.jpg: 6 x 12 cells, square, leek, lot Harebell 3, 5 seeds a cell, 14 days after sowing

      72 cells
       1 empty
       1 with one seedling
      70 with several
     278 seedlings
       1 worth a look (flagged in the picture that --marked writes)

  Germination    77 %   95 % interval 73 to 81 %     278 seedlings from 360 seeds
  Gaps          1.4 %   95 % interval 0.2 to 7.6 %   1 of 72 cells
  1 empty cell against about 0 expected at 77 % germination: the germination explains the gaps.

  What to do   Keep the tray as it is.
  Why          1 of 72 cells stayed empty (1.4 %); filling is worth the work above 10 %.

)");
}

TEST_CASE("a column that stays empty is named at once, but not while hardly anything has come up") {
  const auto but_for_column_5 = [](int otherwise) {
    std::vector<int> counts(8 * 13, otherwise);
    for (int row = 0; row < 8; ++row) counts[row * 13 + 4] = otherwise == 0 ? 1 : 0;
    return answer(census_of(tray_with(8, 13, counts, 0)), understand(CountArguments{}, built_in_profiles()));
  };
  CHECK(but_for_column_5(2).find(
            "\n\n  Look here    Column 5 has 100 % gaps (8 of 8), the rest 0 %: check the sower's hole or "
            "line for this column.\n\n  What to do") != std::string::npos);
  CHECK(but_for_column_5(0).find("Look here") == std::string::npos);
}

TEST_CASE("without seeds, crop or date the answer says what it lacks") {
  const Order order = understand(CountArguments{}, built_in_profiles());
  CHECK(answer(census_of(tray_with(6, 12, {0, 2}, 1)), order) ==
        R"(bench.jpg: 6 x 12 cells, square

      72 cells
       1 empty
      70 with one seedling
       1 with several
      72 seedlings

  Gaps          1.4 %   95 % interval 0.2 to 7.6 %   1 of 72 cells
  For the germination rate, tell how many seeds were sown a cell: --seeds N

  What to do   Keep the tray as it is.
  Why          1 of 72 cells stayed empty (1.4 %); filling is worth the work above 10 %.

)");
}

TEST_CASE("where the sowing is told and the photo has no date, the answer asks for the photo's day") {
  Census census = census_of(tray_with(6, 12, std::vector<int>(20, 0), 1));
  census.photo.taken.reset();
  CHECK(answer(census, order_for("leek", "2026-03-27")).find("without the day of the photo (--taken).") !=
        std::string::npos);
}

TEST_CASE("a tray of seeds in view: how the sower did, and the walk that mends it") {
  Tray tray = tray_with(4, 12, {0, 1, 1, 0, 2, 1}, 1);
  tray.cells[30].count = 0;
  tray.cells[30].review = true;
  tray.seeds_per_cell = 1;
  Census census = census_of(tray);
  census.counted = Counted::seeds;
  CHECK(answer(census, understand(CountArguments{}, built_in_profiles())) ==
        R"(bench.jpg: 4 x 12 cells, square, 1 seed a cell

      48 cells
       3 empty
      44 with one seed
       1 with several
      46 seeds
       1 worth a look (flagged in the picture that --marked writes)

  Skips         6.2 %   95 % interval 2.1 to 17 %    3 of 48 cells got fewer than 1
  Doubles       2.1 %   95 % interval 0.4 to 11 %    1 of 48 cells got more than 1

  What to do   Add 3 seeds before you cover the tray, in this order (diamonds in the picture that --marked writes):
                 row 1, column 1, 4
                 row 3, column 7 (look first)
  Care         If the seed is treated or pelleted: gloves, and never eat it or feed it; wash hands.
               Local rules and the seed label come first.

)");
}

TEST_CASE("seeds without the drop told, several a cell, and a tray beyond mending") {
  Census census = census_of(tray_with(2, 3, {0}, 1));
  census.counted = Counted::seeds;
  const Order order = understand(CountArguments{}, built_in_profiles());
  CHECK(answer(census, order).find("Missed") != std::string::npos);
  CHECK(answer(census, order).find("tell how many seeds the sower was set to: --seeds N") !=
        std::string::npos);
  CHECK(answer(census, order).find("Germination") == std::string::npos);
  census.trays[0].seeds_per_cell = 2;
  CHECK(answer(census, order).find("Mend the sower before the tray: 6 cells lack seed") != std::string::npos);
  census.trays[0].seeds_per_cell = 4;
  for (Cell& cell : census.trays[0].cells) cell.count = 4, cell.probability = {0, 0, 0, 0.2, 0.8};
  CHECK(answer(census, order).find("In some 20 of 100 cells the number may be one off") != std::string::npos);
  CHECK(answer(census, order).find("every cell has seed.") != std::string::npos);
  CHECK(answer(census, order).find("Doubles") == std::string::npos);
  census.trays[0] = tray_with(2, 3, {}, 1);
  CHECK(answer(census, order).find("every cell has its seed") != std::string::npos);
}

TEST_CASE("holes that failed in tray after tray come after all trays") {
  const std::vector<Tray> trays(4, tray_with(8, 16, {1, 0}, 1));
  CHECK(holes_answer(trays) ==
        R"(All 4 trays, if they lay the same way round:

  Row 1, column 2 stayed empty in 4 of 4 trays, where about 0.0 would by chance: look for a jammed hole or nozzle there.

)");
  CHECK(holes_answer(std::vector(3, tray_with(8, 16, {}, 1))) == "");
  CHECK(holes_answer({}) == "");
}

TEST_CASE("several trays in one photo are numbered, remarks come last") {
  Census census = census_of(tray_with(2, 3, {}, 1));
  census.trays.push_back(census.trays[0]);
  census.remarks = {"a third tray is cut off"};
  const std::string text = answer(census, understand(CountArguments{}, built_in_profiles()));
  CHECK(text.find("bench.jpg, tray 1 of 2: 2 x 3 cells, square") == 0);
  CHECK(text.find("bench.jpg, tray 2 of 2: 2 x 3 cells, square") != std::string::npos);
  CHECK(text.ends_with("  Note: a third tray is cut off\n\n"));
}

TEST_CASE("progress fills as photos are done") {
  CHECK(progress_line(0, 4, "a.jpg") == "[------------------------] 0 of 4  a.jpg");
  CHECK(progress_line(3, 4, "b.jpg") == "[##################------] 3 of 4  b.jpg");
  CHECK(progress_line(10, 10, "c.jpg") == "[########################] 10 of 10  c.jpg");
}

TEST_CASE("photos of several folders that share a name get pictures of their own") {
  CHECK(picture_names({"a/tray.jpg", "b/tray.jpg", "tray.png", "tray-2.jpg", "other.jpg"}) ==
        std::vector<std::string>{"tray", "tray-2", "tray-3", "tray-2-2", "other"});
}
