// SPDX-License-Identifier: Apache-2.0
#include "vision/sight.h"

#include <doctest/doctest.h>

using namespace braird::vision;

namespace {

Lattice of_cols(int cols, double fit) {
  Lattice lattice;
  lattice.rows = 8, lattice.cols = cols;
  lattice.photo_from_plane = {20, 0, 40, 0, 20, 60, 0, 0, 1};
  lattice.fit = fit;
  return lattice;
}

Sight found(int cols, double fit) {
  return {{of_cols(cols, fit)}};
}

Sight guess(int cols, double fit) {
  return {{}, unclear({}, false), {of_cols(cols, fit)}};
}

/// How many columns the two looks come to; 0 if the tray is refused.
int cols_settled(const Sight& first, const Sight& nearer) {
  const Sight sight = settled(first, nearer);
  CHECK(sight.lattices.empty() == sight.trouble.has_value());
  return sight.lattices.empty() ? 0 : sight.lattices[0].cols;
}

}  // namespace

TEST_CASE("what the first look found stands if the nearer one shows it, too, or mere noise") {
  CHECK(cols_settled(found(16, 0.9), found(16, 0.9)) == 16);
  CHECK(cols_settled(found(16, 0.9), guess(16, 0.5)) == 16);
  CHECK(cols_settled(found(16, 0.9), guess(9, 0.01)) == 16);
  CHECK(cols_settled(found(16, 0.9), {}) == 16);
}

TEST_CASE("where the looks differ, the nearer one must be very clear") {
  CHECK(cols_settled(found(16, 0.9), found(17, 0.99)) == 17);
  CHECK(cols_settled(found(16, 0.9), found(17, 0.95)) == 0);
  CHECK(cols_settled(found(16, 0.9), guess(17, 0.6)) == 0);
  CHECK(cols_settled(guess(16, 0.85), found(17, 0.95)) == 0);
}

TEST_CASE("where the first look hardly guesses, the nearer one tells") {
  CHECK(cols_settled(guess(16, 0.5), found(17, 0.9)) == 17);
  CHECK(cols_settled(guess(16, 0.5), guess(17, 0.7)) == 0);
  CHECK(cols_settled(guess(16, 0.85), found(16, 0.9)) == 16);
}
