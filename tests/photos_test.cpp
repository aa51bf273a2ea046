// SPDX-License-Identifier: Apache-2.0
// The sample photos as a ratchet: no figure may fall below its floor, and one that rises is reported, so that
// the floor can follow. The floors are what was measured when they were set, less one cell's worth.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cli/order.h"
#include "vision/take_census.h"

using namespace braird;
using nlohmann::json;

namespace {

struct TrueCell {
  Point centre_px;
  double half_pitch_px;
  int seedlings;
};

struct Figures {
  double state = 0;         ///< share of cells whose state (empty, single, multiple) is right
  double empty_recall = 0;  ///< share of the truly empty cells that were called empty
  double exact = 0;         ///< share of cells whose count is right
};

struct Floor {
  std::string photo;
  cli::CountArguments told;
  Figures least;
};

std::string sample(const std::string& file) {
  return std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/" + file;
}

std::vector<TrueCell> truth_of(const std::string& photo) {
  std::vector<TrueCell> cells;
  const json truth = json::parse(std::ifstream(sample(photo + ".truth.json")));
  for (const json& cell : truth["cells"])
    cells.push_back({{cell["centre_px"][0], cell["centre_px"][1]}, cell["half_pitch_px"], cell["visible"]});
  return cells;
}

vision::Reading read_sample(const std::string& photo, const cli::CountArguments& told) {
  const cli::Order order = cli::understand(told, built_in_profiles());
  return vision::take_census(vision::load_photo(sample(photo + ".jpg")), order.hints);
}

/// The counted cell at this place: within half of half a pitch, whatever corner the numbering starts from.
const Cell* cell_at(const std::vector<Tray>& trays, const TrueCell& cell) {
  for (const Tray& tray : trays)
    for (const Cell& counted : tray.cells)
      if (std::hypot(counted.centre_px.x - cell.centre_px.x, counted.centre_px.y - cell.centre_px.y) <
          0.5 * cell.half_pitch_px)
        return &counted;
  return nullptr;
}

Figures compare(const std::vector<Tray>& trays, const std::vector<TrueCell>& truth) {
  double state = 0, exact = 0, empty = 0, empty_found = 0;
  for (const TrueCell& cell : truth) {
    const Cell* counted = cell_at(trays, cell);
    const int count = counted ? counted->count : -1;
    state += counted && state_of(count) == state_of(cell.seedlings);
    exact += count == cell.seedlings;
    empty += cell.seedlings == 0;
    empty_found += cell.seedlings == 0 && count == 0;
  }
  const auto cells = static_cast<double>(truth.size());
  return {state / cells, empty_found / std::max(1.0, empty), exact / cells};
}

void hold(const std::string& what, double figure, double floor) {
  CAPTURE(what);
  CHECK(figure >= floor);
  if (figure > floor + 0.02)
    MESSAGE(what, " is ", figure, ", better than its floor of ", floor, ": raise it");
}

const Floor kFloors[] = {
    {"plug-128-brassica", {.tray = "plug-128", .crop = "brassica", .seeds = 1}, {0.984, 0.99, 0.984}},
    {"plug-128-brassica", {}, {0.976, 0.99, 0.976}},
    {"paper-chain-264-beet", {.tray = "paper-chain-264", .crop = "beet", .seeds = 2}, {0.935, 0.99, 0.885}},
    {"paper-chain-264-beet", {}, {0.94, 0.96, 0.897}},
    {"paper-chain-264-brassica",
     {.tray = "paper-chain-264", .crop = "brassica", .seeds = 1},
     {0.95, 0.96, 0.95}},
    {"paper-chain-264-brassica", {}, {0.95, 0.96, 0.95}},
};

}  // namespace

TEST_CASE("the sample photos are counted at least as well as before") {
  for (const Floor& floor : kFloors) {
    CAPTURE(floor.photo);
    const bool blind = floor.told.tray.empty();
    CAPTURE(blind);
    const vision::Reading reading = read_sample(floor.photo, floor.told);
    CAPTURE(reading.refusal);
    CHECK(reading.census.trays.size() <= 1);
    const Figures figures = compare(reading.census.trays, truth_of(floor.photo));
    hold("state", figures.state, floor.least.state);
    hold("empty recall", figures.empty_recall, floor.least.empty_recall);
    hold("exact", figures.exact, floor.least.exact);
  }
}

TEST_CASE("a bench without a tray is refused, whatever one says of the tray") {
  for (const cli::CountArguments& told : {cli::CountArguments{}, cli::CountArguments{.tray = "plug-128"}}) {
    const vision::Reading reading = read_sample("bench-without-tray", told);
    CHECK(reading.census.trays.empty());
    CHECK_FALSE(reading.refusal.empty());
  }
}
