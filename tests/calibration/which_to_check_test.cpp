// SPDX-License-Identifier: Apache-2.0
#include "calibration/which_to_check.h"

#include <algorithm>
#include <stdexcept>

#include "near.h"

using namespace braird;

namespace {

std::vector<CellReading> readings(const std::vector<double>& spreads) {
  std::vector<CellReading> cells;
  for (const double spread : spreads) cells.push_back({1, spread, .1, 2});
  return cells;
}

}  // namespace

TEST_CASE("the least sure cells first, sure ones never") {
  const auto doubted = readings({.1, 0, .4, .2, 0});
  CHECK(cells_to_check(doubted, 4) == std::vector<std::size_t>{2, 3, 0});
  CHECK(cells_to_check(doubted, 1) == std::vector<std::size_t>{2});
  CHECK(cells_to_check(doubted, 0).empty());
}

TEST_CASE("checked cells are certain") {
  const auto cells = with_checked(readings({.3, .3}), std::vector<HandCount>{{1, 0}});
  CHECK(cells[1].seedlings == 0);
  CHECK(cells[1].empty == 1);
  CHECK(cells[1].spread == 0);
  CHECK(cells[0].spread == .3);
}

TEST_CASE("the choice refuses nonsense") {
  CHECK_THROWS_AS(cells_to_check(readings({-.1}), 3), std::invalid_argument);
  CHECK_THROWS_AS(with_checked(readings({.1}), std::vector<HandCount>{{1, 0}}), std::invalid_argument);
  CHECK_THROWS_AS(with_checked(readings({.1}), std::vector<HandCount>{{0, -1}}), std::invalid_argument);
}
