// SPDX-License-Identifier: Apache-2.0
#include "vision/sight.h"

#include <doctest/doctest.h>

using namespace braird::vision;

namespace {

Sight shows(int rows, int cols) {
  Lattice lattice;
  lattice.rows = rows, lattice.cols = cols;
  return {{lattice}};
}

}  // namespace

TEST_CASE("parts of a region are of one make where all show the same layout, whichever way round") {
  CHECK(of_one_make({shows(14, 28), shows(14, 28)}));
  CHECK(of_one_make({shows(14, 28), shows(28, 14), shows(14, 28)}));
}

TEST_CASE("a part that shows nothing, or another layout, leaves open where a tray ends") {
  CHECK_FALSE(of_one_make({shows(14, 13), Sight{}}));
  CHECK_FALSE(of_one_make({shows(14, 13), shows(14, 15)}));
}
