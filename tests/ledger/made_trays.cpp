// SPDX-License-Identifier: Apache-2.0
#include "tests/ledger/made_trays.h"

#include <stdlib.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <stdexcept>

namespace braird::test {
namespace {

constexpr double kPitchPx = 83.3;

double rounded(double value, double per_unit) {
  return std::round(value * per_unit) / per_unit;
}

Cell seen_cell(int row, int col, bool up, std::mt19937& random) {
  Cell cell;
  cell.row = row;
  cell.col = col;
  // A lens and a slant make no place of the photo even.
  const double x = 312.4 + kPitchPx * col * (1 - 0.0004 * row) + 3.1 * row,
               y = 208.9 + kPitchPx * row - 2.7 * col + 0.05 * col * col;
  cell.centre_px = {rounded(x, 10), rounded(y, 10)};
  const double doubt = rounded(std::pow(std::uniform_real_distribution<>(0, 0.7)(random), 4), 10'000);
  cell.count = up ? 1 : 0;
  cell.probability =
      up ? std::vector<double>{doubt, 1 - doubt, 0, 0} : std::vector<double>{1 - doubt, doubt, 0, 0};
  cell.probability[1 - static_cast<std::size_t>(cell.count)] = doubt;
  cell.review = doubt > 0.2;
  return cell;
}

}  // namespace

LedgerFolder::LedgerFolder() {
  std::string name = (std::filesystem::temp_directory_path() / "braird-ledger-XXXXXX").string();
  if (!mkdtemp(name.data())) throw std::runtime_error("no scratch folder");
  path = name;
}

LedgerFolder::~LedgerFolder() {
  std::error_code unused;
  std::filesystem::remove_all(path, unused);
}

GrownTray grown(const Growing& how, std::mt19937& random) {
  GrownTray tray{how.layout, {}, {}};
  std::normal_distribution<> day(how.mean_day, how.day_spread), place(0, how.place_spread);
  for (int at = 0; at < how.layout.rows * how.layout.cols; ++at) {
    tray.comes_up.push_back(std::bernoulli_distribution(how.rate)(random) ? day(random) : 1000);
    tray.places.push_back({std::clamp(place(random), -0.45, 0.45), std::clamp(place(random), -0.45, 0.45)});
  }
  return tray;
}

Tray seen_on(const GrownTray& grown, double day, const Seeing& how, std::mt19937& random) {
  Tray tray;
  tray.layout = grown.layout;
  tray.pitch_px = kPitchPx;
  tray.fit = 0.98;
  tray.crop = "kale";
  tray.seeds_per_cell = 1;
  std::normal_distribution<> error(0, how.place_error);
  for (int at = 0; at < std::ssize(grown.comes_up); ++at) {
    const bool misread = std::bernoulli_distribution(how.miss)(random);
    const bool up = (grown.comes_up[static_cast<std::size_t>(at)] <= day) != misread;
    tray.cells.push_back(seen_cell(at / tray.layout.cols, at % tray.layout.cols, up, random));
    if (!up) continue;
    const Point& place = grown.places[static_cast<std::size_t>(at)];
    tray.cells.back().plant =
        Point{rounded(place.x + error(random), 25), rounded(place.y + error(random), 25)};
  }
  const auto corner = [&](int row, int col) { return cell_at(tray, row, col).centre_px; };
  const int last_row = tray.layout.rows - 1, last_col = tray.layout.cols - 1;
  tray.corners_px = {corner(0, 0), corner(0, last_col), corner(last_row, last_col), corner(last_row, 0)};
  return tray;
}

Tray sure_tray(const Layout& layout, int up) {
  std::mt19937 random(1);
  GrownTray grown{layout, {}, {}};
  for (int at = 0; at < layout.rows * layout.cols; ++at) {
    grown.comes_up.push_back(at < up ? 1 : 1000);
    grown.places.push_back({});
  }
  Tray tray = seen_on(grown, 7, {0, 0}, random);
  for (Cell& cell : tray.cells) {
    cell.probability = cell.count > 0 ? std::vector<double>{0, 1} : std::vector<double>{1, 0};
    cell.plant.reset();
  }
  return tray;
}

Census census_of(std::vector<Tray> trays, const std::string& file, const std::string& taken) {
  Census census;
  census.photo = {file, 2400, 1800, taken.empty() ? std::nullopt : std::optional(taken)};
  census.trays = std::move(trays);
  return census;
}

std::string content_of(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::string hash_of(const std::string& name) {
  std::seed_seq seed(name.begin(), name.end());
  std::mt19937_64 random(seed);
  std::string hash;
  for (int at = 0; at < 16; ++at) hash += static_cast<char>(random() & 0xff);
  return hash;
}

}  // namespace braird::test
