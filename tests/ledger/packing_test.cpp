// SPDX-License-Identifier: Apache-2.0
// What is packed comes back as a census in JSON would say it.
#include "calibration/ledger/packing.h"

#include <doctest/doctest.h>

#include "tests/ledger/made_trays.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

namespace {

std::vector<Cell> blank_like(const std::vector<Cell>& cells) {
  std::vector<Cell> blank(cells.size());
  for (std::size_t at = 0; at < cells.size(); ++at) {
    blank[at].row = cells[at].row;
    blank[at].col = cells[at].col;
  }
  return blank;
}

std::vector<Cell> there_and_back(const std::vector<Cell>& cells, int cols) {
  std::vector<Cell> back = blank_like(cells);
  unpack_counts(pack_counts(cells), back);
  unpack_places(pack_places(cells, cols), cols, back);
  unpack_plants(pack_plants(cells), back);
  return back;
}

void check_equal(const std::vector<Cell>& one, const std::vector<Cell>& other) {
  REQUIRE(one.size() == other.size());
  for (std::size_t at = 0; at < one.size(); ++at) {
    CAPTURE(at);
    CHECK(one[at].count == other[at].count);
    CHECK(one[at].review == other[at].review);
    CHECK(one[at].centre_px.x == doctest::Approx(other[at].centre_px.x).epsilon(1e-12));
    CHECK(one[at].centre_px.y == doctest::Approx(other[at].centre_px.y).epsilon(1e-12));
    REQUIRE(one[at].probability.size() == other[at].probability.size());
    for (std::size_t k = 0; k < one[at].probability.size(); ++k)
      CHECK(one[at].probability[k] == doctest::Approx(other[at].probability[k]).epsilon(1e-12));
    REQUIRE(one[at].plant.has_value() == other[at].plant.has_value());
    if (!one[at].plant) continue;
    CHECK(one[at].plant->x == other[at].plant->x);
    CHECK(one[at].plant->y == other[at].plant->y);
  }
}

}  // namespace

TEST_CASE("a tray comes back cell by cell") {
  std::mt19937 random(7);
  for (const Layout layout : {Layout{8, 16, LatticeKind::square}, Layout{22, 12, LatticeKind::staggered},
                              Layout{1, 1, LatticeKind::square}, Layout{1, 5, LatticeKind::square},
                              Layout{5, 1, LatticeKind::square}}) {
    Growing how;
    how.layout = layout;
    const Tray tray = seen_on(grown(how, random), 7, {}, random);
    check_equal(tray.cells, there_and_back(tray.cells, layout.cols));
  }
}

TEST_CASE("cells with chances of different lengths, high counts and far places come back too") {
  std::vector<Cell> cells(6);
  for (int at = 0; at < 6; ++at) {
    cells[static_cast<std::size_t>(at)].col = at;
    cells[static_cast<std::size_t>(at)].count = at * 7;
    cells[static_cast<std::size_t>(at)].probability.assign(static_cast<std::size_t>(at * 7 + 1), 0);
    cells[static_cast<std::size_t>(at)].probability.back() = 1;
    cells[static_cast<std::size_t>(at)].centre_px = {-40'000.3 * at, 12'345.6};
    cells[static_cast<std::size_t>(at)].plant = Point{-1.52, 2.24};
  }
  check_equal(cells, there_and_back(cells, 6));
}

TEST_CASE("damaged bytes are refused, never believed") {
  std::mt19937 random(11);
  const Tray tray = seen_on(grown({}, random), 7, {}, random);
  const Bytes counts = pack_counts(tray.cells), places = pack_places(tray.cells, 16);
  std::vector<Cell> back = blank_like(tray.cells);
  CHECK_THROWS_AS(unpack_counts("", back), std::invalid_argument);
  CHECK_THROWS_AS(unpack_counts(counts.substr(0, counts.size() / 2), back), std::invalid_argument);
  CHECK_THROWS_AS(unpack_counts(places, back), std::invalid_argument);
  CHECK_THROWS_AS(unpack_corners("x"), std::invalid_argument);
  std::vector<Cell> too_few(5);
  CHECK_THROWS_AS(unpack_counts(counts, too_few), std::invalid_argument);
  unpack_counts(counts, back);
  int refused = 0;
  for (int round = 0; round < 2000; ++round) {
    Bytes bent = counts;
    bent[random() % bent.size()] ^= static_cast<char>(1 << random() % 8);
    std::vector<Cell> read = blank_like(tray.cells);
    try {
      unpack_counts(bent, read);
    } catch (const std::invalid_argument&) {  // zlib's checksum sees it
      ++refused;
      continue;
    }
    for (std::size_t at = 0; at < read.size(); ++at) CHECK(read[at].probability == back[at].probability);
  }
  CHECK(refused > 1900);  // a few bits of the last byte stand for nothing
}
