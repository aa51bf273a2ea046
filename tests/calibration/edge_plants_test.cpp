// SPDX-License-Identifier: Apache-2.0
#include "calibration/edge_plants.h"

#include <doctest/doctest.h>

#include <random>
#include <string_view>

#include "calibration/gap_map.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

namespace {

// Each digit a cell's plants.
TrayMap counted_tray(std::initializer_list<std::string_view> rows, int seeds) {
  TrayMap tray;
  tray.layout = {static_cast<int>(rows.size()), static_cast<int>(rows.begin()->size())};
  for (const std::string_view row : rows)
    for (const char plants : row) tray.cells.push_back({plants - '0', seeds});
  return tray;
}

// Four seeds a cell, of which so many come up at the edge for one elsewhere.
TrayMap grown_map(double at_edge, std::mt19937& random) {
  TrayMap tray;
  tray.layout = {22, 12, LatticeKind::staggered};
  tray.cells = grown_tray(264, 4, .85, .02, random);
  std::bernoulli_distribution dies(1 - at_edge);
  for (int at = 0; at < std::ssize(tray.cells); ++at)
    for (int plant = tray.cells[static_cast<std::size_t>(at)].seedlings; plant > 0; --plant)
      if (is_at_edge(tray.layout, at) && dies(random)) --tray.cells[static_cast<std::size_t>(at)].seedlings;
  return tray;
}

int edges_named(double at_edge, int trays) {
  std::mt19937 random(5);
  int named = 0;
  for (int i = 0; i < trays; ++i) {
    const auto found = find_patterns(grown_map(at_edge, random));
    named += !found.empty() && found[0].kind == FindingKind::edge;
  }
  return named;
}

}  // namespace

TEST_CASE("plants at the edge are held against those within by Welch's t") {
  const TrayMap tray = counted_tray({"233423", "344434", "243442", "344343", "434443", "322334"}, 4);
  const auto edge = edge_plants(tray);
  REQUIRE(edge.has_value());
  // scipy.stats.ttest_ind(…, equal_var=False), of the columns at the sides, and t.ppf, SciPy 1.10.1
  CHECK(edge->p_value == doctest::Approx(0.0280064656959028).epsilon(1e-9));
  CHECK(edge->difference->estimate == doctest::Approx(0.2125).epsilon(1e-9));
  CHECK(edge->difference->high - edge->difference->estimate ==
        doctest::Approx(0.09961169097207037).epsilon(1e-9));
  CHECK(edge->sentence ==
        "The edge has 2.9 plants a cell, the rest 3.8: edges dry out and cool first; check the watering and "
        "the cover there.");
  CHECK(edge->cells.size() == 20);
  const auto found = find_patterns(tray);  // there is no gap
  REQUIRE(found.size() == 1);
  CHECK(found[0].sentence == edge->sentence);
}

TEST_CASE("where the gaps tell all, or nothing differs, plants at the edge are not asked") {
  CHECK_FALSE(edge_plants(counted_tray({"0000", "1111", "1111", "1111"}, 1)).has_value());
  CHECK_FALSE(edge_plants(counted_tray({"3333", "3333", "3333", "3333", "3333"}, 3)).has_value());
  CHECK_FALSE(edge_plants(counted_tray({"222", "232", "322"}, 3)).has_value());
  CHECK(find_patterns(counted_tray({"3333", "3333", "3333", "3333", "3333"}, 3)).empty());
}

TEST_CASE(
    "an edge all of whose cells have a plant less than those within is found, whatever the share rounds to") {
  const auto with_plants = [](int at_edge, int within, int seeds) {
    TrayMap tray;
    tray.layout = {8, 12};
    for (int at = 0; at < 96; ++at)
      tray.cells.push_back({is_at_edge(tray.layout, at) ? at_edge : within, seeds});
    return edge_plants(tray);
  };
  for (int seeds = 2; seeds < 12; ++seeds) {
    CAPTURE(seeds);
    CHECK_FALSE(with_plants(seeds / 2, seeds / 2, seeds).has_value());
    const auto found = with_plants(seeds - 1, seeds, seeds);
    REQUIRE(found.has_value());
    // The same for all: plants differ by one, and are known to one in the cells of each.
    CHECK(found->p_value == doctest::Approx(with_plants(1, 2, 2)->p_value).epsilon(1e-6));
    CHECK(found->p_value > 1e-30);
    CHECK(found->difference->low > 0.9 / seeds);
    CHECK(found->difference->low < found->difference->estimate);
  }
}

TEST_CASE("a side that was not sown is none of the two that tell") {
  TrayMap tray =
      counted_tray({"44444444", "43233234", "42323324", "43323323", "44232334", "43332324", "44344344"}, 4);
  const auto whole = edge_plants(tray);
  REQUIRE(whole.has_value());
  CHECK(whole->difference->high < 0);
  for (int col = 0; col < 8; ++col) tray.cells[static_cast<std::size_t>(col)] = {0, 0};
  const auto without = edge_plants(tray);
  REQUIRE(without.has_value());
  CHECK(without->p_value == doctest::Approx(whole->p_value).epsilon(0.5));
}

TEST_CASE("a side that alone is poor is no dry edge") {
  const TrayMap tray =
      counted_tray({"01010110", "34443434", "43443444", "34434443", "43443434", "34443443"}, 4);
  const auto edge = edge_plants(tray);
  CHECK((!edge || edge->p_value > 0.2));
}

TEST_CASE("a dry edge is seen where several seeds leave few gaps, and none where there is none") {
  CHECK(edges_named(0.6, 100) >= 98);
  CHECK(edges_named(1, 400) <= 20);
}
