// SPDX-License-Identifier: Apache-2.0
#include "vision/second_look.h"

#include <doctest/doctest.h>

#include <utility>

#include "vision/lattice_trouble.h"

using namespace braird;
using namespace braird::vision;

namespace {

/// A lattice of 20 px a cell, its first cell at `from`.
Lattice laid_at(int rows, int cols, double fit, cv::Point2d from = {40, 60}) {
  Lattice lattice;
  lattice.rows = rows, lattice.cols = cols, lattice.fit = fit;
  lattice.photo_from_plane = {20, 0, from.x, 0, 20, from.y, 0, 0, 1};
  return lattice;
}

Looked look_at(Sight sight) {
  return {{{0, 0}, {600, 0}, {600, 400}, {0, 400}}, {std::move(sight)}};
}

Looked finds(const Lattice& lattice) {
  return look_at({{lattice}});
}

Looked guesses(const Lattice& lattice) {
  Sight sight{{}, unclear({}, false)};
  sight.guesses = {lattice};
  return look_at(sight);
}

/// A photo in which every side ends with this chance.
PhotoSenses ends_with(double chance) {
  return {.ends_of = [=](const Lattice&) { return std::array<double, 4>{chance, chance, chance, chance}; }};
}

std::vector<Lattice> found_in(const std::vector<Looked>& all) {
  std::vector<Lattice> found;
  for (const Looked& looked : all)
    for (const Sight& sight : looked.sights)
      found.insert(found.end(), sight.lattices.begin(), sight.lattices.end());
  return found;
}

int troubles_in(const std::vector<Looked>& all) {
  int troubles = 0;
  for (const Looked& looked : all)
    for (const Sight& sight : looked.sights) troubles += sight.trouble.has_value();
  return troubles;
}

Hints told(int rows, int cols) {
  Hints hints;
  hints.rows = rows, hints.cols = cols;
  return hints;
}

const PhotoSenses kWhole = ends_with(0.999);

}  // namespace

TEST_CASE("a second look is wanted where the first leaves something open") {
  CHECK(wants_second_look({}, {}));
  CHECK(wants_second_look({guesses(laid_at(8, 16, 0.5))}, {}));
  CHECK(wants_second_look({guesses(laid_at(8, 16, 0.5))}, told(8, 16)));
  CHECK_FALSE(wants_second_look({finds(laid_at(8, 16, 0.96))}, {}));
  CHECK(wants_second_look({finds(laid_at(8, 16, 0.9))}, {}));
  CHECK_FALSE(wants_second_look({finds(laid_at(8, 16, 0.9))}, told(8, 16)));
  Sight cut{{}, cut_off("left")};
  cut.goes_on = true;
  CHECK_FALSE(wants_second_look({look_at(cut)}, {}));
}

TEST_CASE("a tray that only the second look makes out is found, once") {
  const Lattice tray = laid_at(8, 16, 0.99);
  CHECK(found_in(both_looks({}, {finds(tray)}, {}, kWhole)).size() == 1);
  const auto opened = both_looks({guesses(laid_at(8, 15, 0.5))}, {finds(tray)}, {}, kWhole);
  REQUIRE(found_in(opened).size() == 1);
  CHECK(found_in(opened)[0].cols == 16);
  CHECK(troubles_in(opened) == 0);
  CHECK(found_in(both_looks({finds(tray)}, {finds(tray)}, {}, kWhole)).size() == 1);
  const Lattice beside = laid_at(8, 16, 0.99, {40, 260});
  CHECK(found_in(both_looks({finds(tray)}, {finds(tray), finds(beside)}, {}, kWhole)).size() == 2);
}

TEST_CASE("what both looks lead with is found, though neither is sure of it, if it ends at its sides") {
  const std::vector<Looked> first{guesses(laid_at(8, 16, 0.5))}, same{guesses(laid_at(8, 16, 0.6))},
      other{guesses(laid_at(8, 15, 0.6))}, faint{guesses(laid_at(8, 16, 0.05))};
  const auto agreed = both_looks(first, same, {}, kWhole);
  REQUIRE(found_in(agreed).size() == 1);
  CHECK(found_in(agreed)[0].fit > 0.8);
  CHECK(troubles_in(agreed) == 0);
  for (const auto& second : {other, faint}) {
    CHECK(found_in(both_looks(first, second, {}, kWhole)).empty());
    CHECK(troubles_in(both_looks(first, second, {}, kWhole)) == 1);
  }
  CHECK(found_in(both_looks(first, same, {}, ends_with(0.01))).empty());
  CHECK(found_in(both_looks(first, same, told(8, 16), kWhole)).empty());
}

TEST_CASE("an unclear lattice falls where the second look doesn't lead with it") {
  const std::vector<Looked> first{finds(laid_at(8, 16, 0.9))};
  for (const auto& second : {std::vector<Looked>{}, {guesses(laid_at(8, 15, 0.4))}}) {
    const auto both = both_looks(first, second, {}, kWhole);
    CHECK(found_in(both).empty());
    CHECK(troubles_in(both) == 1);
    CHECK(found_in(both_looks(first, second, told(8, 16), kWhole)).size() == 1);
    CHECK(found_in(both_looks({finds(laid_at(8, 16, 0.96))}, second, {}, kWhole)).size() == 1);
  }
  CHECK(found_in(both_looks(first, {guesses(laid_at(8, 16, 0.4))}, {}, kWhole)).size() == 1);
}

TEST_CASE(
    "what the first look took for parts of a tray is not remarked on once the second makes out the tray") {
  const auto part = [](float left, float right) {
    return Looked{{{left, 50}, {right, 50}, {right, 210}, {left, 210}}, {Sight{{}, unclear({}, true)}}};
  };
  const std::vector<Looked> parts{part(30, 200), part(200, 350)};
  const Lattice tray = laid_at(8, 16, 0.99);
  const auto found = both_looks(parts, {finds(tray)}, {}, kWhole);
  CHECK(found_in(found).size() == 1);
  CHECK(troubles_in(found) == 0);
  Sight other{{}, not_as_stated(layout_of(tray), told(8, 15))};
  other.leading = tray;
  const auto refused = both_looks(parts, {look_at(other)}, told(8, 15), kWhole);
  CHECK(found_in(refused).empty());
  REQUIRE(troubles_in(refused) == 1);
  CHECK(refused[0].sights[0].trouble->reason == other.trouble->reason);
}
