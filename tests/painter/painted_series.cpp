// SPDX-License-Identifier: Apache-2.0
// painted_series FIRST COUNT [FILE]: paints trays as they come up, photographed on four days in other light
// from another side, for COUNT scenes from seed FIRST on; counts them told layout and seeds, all but the last
// once more, joins the days cell by cell, and prints a line a tray and in all the share of cells whose
// first day is right, then how often photos are taken for one tray, of consecutive days and of different
// trays. FILE gets what was seen of each cell, one JSON line a cell: chances that it is empty, as first
// counted and (all but the last) once more. Medium, litter and the plants' places stay the same from day
// to day.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <nlohmann/json.hpp>
#include <optional>
#include <vector>

#include "calibration/cell_course.h"
#include "calibration/same_tray.h"
#include "samples/painter/days.h"
#include "samples/painter/painter.h"
#include "tests/painter/as_saved.h"
#include "tests/painter/joins.h"
#include "vision/coming_up.h"
#include "vision/take_census.h"

namespace {

using namespace braird;
using painter::PaintedTray;
using painter::Scene;

vision::Photo taken(const cv::Mat& picture) {
  vision::Photo photo;
  photo.bgr = picture;
  photo.facts.width = picture.cols, photo.facts.height = picture.rows;
  return photo;
}

vision::Hints hints_for(const painter::Tray& tray) {
  vision::Hints hints;
  hints.rows = tray.rows, hints.cols = tray.cols, hints.lattice = tray.lattice;
  hints.seeds_per_cell = tray.sowing.seeds_per_cell;
  hints.plant_places = true;
  return hints;
}

/// The census of the photo's tray, numbered as it was painted; none where the lattice was not found.
std::optional<Tray> counted(const painter::PaintedPhoto& photo) {
  const PaintedTray& truth = photo.trays[0];
  const Census census = vision::take_census(taken(photo.picture), hints_for(truth.tray)).census;
  if (!truth.complete || census.trays.size() != 1) return std::nullopt;
  Tray tray = census.trays[0];
  if (tray.layout.rows != truth.tray.rows || tray.cells.size() != truth.cells.size()) return std::nullopt;
  const auto off = [&](const Cell& cell) {
    return std::hypot(cell.centre_px.x + 0.5 - truth.cells[0].centre_px.x,
                      cell.centre_px.y + 0.5 - truth.cells[0].centre_px.y);
  };
  if (off(tray.cells.front()) > off(tray.cells.back())) tray = half_turned(tray);
  if (off(tray.cells.front()) > truth.cells[0].half_pitch_px) return std::nullopt;
  return tray;
}

/// A tray on all days, and the first of them on which each cell shows a plant (-1: never).
struct Series {
  std::vector<Tray> trays;  // as first counted
  std::vector<Tray> again;  // all but the last once more
  std::vector<cv::Mat> pictures;
  std::vector<int> came_up;
};

void read_again(Series& series, const vision::Hints& hints) {
  series.again = series.trays;
  for (std::size_t day = 0; day + 1 < series.trays.size(); ++day) try {
      const vision::Photo photo = taken(series.pictures[day]);
      series.again[day] =
          vision::with_counts(series.trays[day], count_coming_up({photo, series.trays[day]}, hints));
    } catch (const std::invalid_argument&) {  // stays as it was, as in the ledger
    }
}

std::optional<Series> photographed(const Scene& scene, double half_up) {
  Series series;
  for (int day = 0; day < static_cast<int>(std::size(painter::kPhotographed)); ++day) {
    const auto photo =
        painter::as_saved(painter::on_day(scene, painter::kPhotographed[day], {.half_up = half_up}));
    const auto tray = counted(photo);
    if (!tray) return std::nullopt;
    series.came_up.resize(tray->cells.size(), -1);
    for (std::size_t cell = 0; cell < tray->cells.size(); ++cell)
      if (series.came_up[cell] < 0 && visible(photo.trays[0].cells[cell]) > 0) series.came_up[cell] = day;
    series.trays.push_back(*tray);
    series.pictures.push_back(photo.picture);
  }
  read_again(series, hints_for(scene.trays[0]));
  return series;
}

int right_days(const Series& series) {
  std::vector<TrayOnDay> days;
  for (std::size_t day = 0; day < series.trays.size(); ++day)
    days.push_back({painter::kPhotographed[day], &series.again[day]});
  const auto stories = cell_stories(days);
  int right = 0;
  for (std::size_t cell = 0; cell < stories.size(); ++cell) {
    const auto& first = stories[cell].came_up;
    right += (first ? static_cast<int>(*first) : -1) == series.came_up[cell];
  }
  return right;
}

void join_days_of(const Series& series, AllJoins& joins) {
  std::vector<Fingerprints> days, turned;
  for (std::size_t day = 0; day < series.trays.size(); ++day) {
    days.push_back(fingerprints_of(series.pictures[day], series.trays[day]));
    turned.push_back(fingerprints_of(series.pictures[day], half_turned(series.trays[day])));
  }
  join_days(joins, std::move(days), turned);
}

void write_down(std::ostream& file, const Scene& scene, const Series& series) {
  for (std::size_t cell = 0; cell < series.came_up.size(); ++cell) {
    nlohmann::json line{{"seed", scene.seed}, {"came_up", series.came_up[cell]}};
    for (const Tray& tray : series.trays) {
      const Cell& seen = tray.cells[cell];
      line["empty"].push_back(seen.probability[0]);
      line["plant"].push_back(seen.plant ? nlohmann::json{seen.plant->x, seen.plant->y} : nlohmann::json());
    }
    for (std::size_t day = 0; day + 1 < series.again.size(); ++day)
      line["again"].push_back(series.again[day].cells[cell].probability[0]);
    file << line << '\n';
  }
}

}  // namespace

int main(int argc, char** argv) {
  const int first = argc > 1 ? std::atoi(argv[1]) : 9600000, count = argc > 2 ? std::atoi(argv[2]) : 20;
  std::ofstream file(argc > 3 ? argv[3] : "/dev/null");
  int right = 0, cells = 0;
  AllJoins joins;
  for (int at = first; at < first + count; ++at) {
    Scene scene = painter::any_scene(static_cast<std::uint64_t>(at), 1600, {0, 1, 1});
    if (scene.trays.empty() || scene.seeds_in_view || scene.trays[0].sowing.germination == 0) continue;
    scene.trays.resize(1);
    scene.trays[0].sowing.stage_spread = 0.1 + 0.01 * (at % 15), scene.trays[0].sowing.late = 0;
    const auto series = photographed(scene, 5.5 + 0.1 * (at % 17));
    if (!series) continue;
    const int its_right = right_days(*series), its_cells = static_cast<int>(series->came_up.size());
    fmt::print("{} {}: {} of {}\n", at, scene.label, its_right, its_cells);
    std::fflush(stdout);
    write_down(file, scene, *series);
    join_days_of(*series, joins);
    right += its_right, cells += its_cells;
  }
  fmt::print("first day right in {} of {} cells ({:.3f})\n", right, cells, 1.0 * right / std::max(1, cells));
  fmt::print("{}", words_for(joins));
}
