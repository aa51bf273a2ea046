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
  const CheckPlan plan = cells_to_check(readings({.1, 0, .4, .2, 0}), 4);
  CHECK(plan.cells == std::vector<std::size_t>{2, 3, 0});
  CHECK(plan.width_now == doctest::Approx(2 * 1.959964 * std::sqrt(.7) / 10));
  CHECK(plan.width_after == doctest::Approx(0).epsilon(1e-6));
}

TEST_CASE("identity: no other two of the cells leave a narrower interval") {
  const std::vector<double> spreads = {.03, .21, .08, .19, .02, .11};
  const double best = cells_to_check(readings(spreads), 2).width_after;
  for (std::size_t a = 0; a < spreads.size(); ++a)
    for (std::size_t b = 0; b < a; ++b) {
      auto left = spreads;
      left[a] = left[b] = 0;
      CHECK(cells_to_check(readings(left), 0).width_now >= best - 1e-12);
    }
}

TEST_CASE("checked cells are certain") {
  const auto cells = with_checked(readings({.3, .3}), std::vector<HandCount>{{1, 0}});
  CHECK(cells[1].seedlings == 0);
  CHECK(cells[1].empty == 1);
  CHECK(cells[1].spread == 0);
  CHECK(cells[0].spread == .3);
}

TEST_CASE("the choice refuses nonsense") {
  CHECK_THROWS_AS(cells_to_check({}, 3), std::invalid_argument);
  CHECK_THROWS_AS(cells_to_check(readings({-.1}), 3), std::invalid_argument);
  CHECK_THROWS_AS(with_checked(readings({.1}), std::vector<HandCount>{{1, 0}}), std::invalid_argument);
  CHECK_THROWS_AS(with_checked(readings({.1}), std::vector<HandCount>{{0, -1}}), std::invalid_argument);
}
