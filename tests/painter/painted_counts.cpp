// SPDX-License-Identifier: Apache-2.0
// painted_counts FIRST COUNT [PX]: paints COUNT scenes from seed FIRST on, counts the seedlings of their
// whole trays with both counters, told layout, crop and seeds, and prints a table: counter, trays of what
// kind, cells, share of right states and counts, mean absolute error, share of gaps seen. Exits with 1 if the
// counter that is shipped is not clearly the better one.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <functional>
#include <vector>

#include "calibration/census.h"
#include "samples/painter/painter.h"
#include "tests/painter/as_saved.h"
#include "vision/cell_chances.h"
#include "vision/lattice.h"
#include "vision/seedlings.h"

namespace {

using namespace braird;
using painter::Habit;
using painter::PaintedTray;
using painter::Scene;

constexpr double kFewestPx = 26;  // a cell, below which the networks were not trained

struct Tally {
  int cells = 0, states = 0, exact = 0, off = 0, gaps = 0, gaps_seen = 0;
};

struct Kind {
  const char* name;
  std::function<bool(const Scene&)> holds;
};

bool plain(const Scene& scene) {
  return scene.finish.exposure > 0.7 && scene.finish.exposure < 1.5 && scene.finish.noise < 0.03 &&
         scene.finish.blur_px < 1 && scene.finish.motion_px == 0;
}

const std::vector<Kind> kinds{
    {"all", [](const Scene&) { return true; }},
    {"round pairs", [](const Scene& s) { return s.crop.habit == Habit::round_pair; }},
    {"strap pairs", [](const Scene& s) { return s.crop.habit == Habit::strap_pair; }},
    {"threads", [](const Scene& s) { return s.crop.habit == Habit::thread; }},
    {"one seed a cell", [](const Scene& s) { return s.trays[0].sowing.seeds_per_cell == 1; }},
    {"several seeds a cell", [](const Scene& s) { return s.trays[0].sowing.seeds_per_cell > 1; }},
    {"before emergence", [](const Scene& s) { return s.trays[0].sowing.germination == 0; }},
    {"just emerging", [](const Scene& s) { return s.trays[0].sowing.stage < 0.35; }},
    {"first true leaves", [](const Scene& s) { return s.trays[0].sowing.stage > 1.1; }},
    {"even light, sharp", plain},
    {"hard sun", [](const Scene& s) { return cv::norm(s.light.sun) > 1; }},
    {"dim or noisy", [](const Scene& s) { return s.finish.exposure < 0.6 || s.finish.noise > 0.03; }},
    {"blurred", [](const Scene& s) { return s.finish.blur_px > 1 || s.finish.motion_px > 0; }},
    {"algae or moss", [](const Scene& s) { return s.trays[0].medium.algae + s.trays[0].medium.moss > 0.05; }},
};

vision::Hints told(const Scene& scene, const PaintedTray& tray) {
  vision::Hints hints;
  hints.rows = tray.tray.rows, hints.cols = tray.tray.cols, hints.lattice = tray.tray.lattice;
  hints.habit = scene.crop.habit == Habit::round_pair   ? vision::SeedlingHabit::round_pair
                : scene.crop.habit == Habit::strap_pair ? vision::SeedlingHabit::strap_pair
                                                        : vision::SeedlingHabit::thread;
  hints.seeds_per_cell = tray.tray.sowing.seeds_per_cell;
  return hints;
}

void add(Tally& tally, const PaintedTray& truth, const vision::Lattice& lattice,
         const std::vector<vision::CountChances>& chances) {
  for (const painter::PaintedCell& cell : truth.cells) {
    double nearest = 0.25 * 4 * cell.half_pitch_px * cell.half_pitch_px;
    int said = -1;
    for (int row = 0; row < lattice.rows; ++row)
      for (int col = 0; col < lattice.cols; ++col) {
        const cv::Point2d off = cell.centre_px - cv::Point2d(0.5, 0.5) - cell_centre(lattice, row, col);
        if (off.dot(off) >= nearest) continue;
        nearest = off.dot(off);
        said = vision::count_of(chances[cell_index(layout_of(lattice), row, col)]);
      }
    if (said < 0) continue;
    const int right = std::min(visible(cell), 9);
    ++tally.cells;
    tally.states += state_of(said) == state_of(right), tally.exact += said == right;
    tally.off += std::abs(said - right), tally.gaps += right == 0, tally.gaps_seen += right == 0 && said == 0;
  }
}

void print(const char* counter, const std::vector<Tally>& table) {
  for (std::size_t i = 0; i < table.size(); ++i) {
    const Tally& t = table[i];
    const double n = std::max(1, t.cells);
    fmt::print("| {} | {} | {} | {:.3f} | {:.3f} | {:.2f} | {:.3f} |\n", counter, kinds[i].name, t.cells,
               t.states / n, t.exact / n, t.off / n, static_cast<double>(t.gaps_seen) / std::max(1, t.gaps));
  }
}

}  // namespace

int main(int argc, char** argv) {
  const int from = argc > 1 ? std::atoi(argv[1]) : 8000000, count = argc > 2 ? std::atoi(argv[2]) : 300,
            px = argc > 3 ? std::atoi(argv[3]) : 1200;
  std::vector<Tally> learned(kinds.size()), by_shape(kinds.size());
  for (int seed = from; seed < from + count; ++seed) {
    const Scene scene = painter::any_scene(static_cast<std::uint64_t>(seed), px);
    if (scene.trays.size() != 1 || scene.days_after_sowing == 0) continue;
    const painter::PaintedPhoto photo = painter::as_saved(scene);
    const PaintedTray& tray = photo.trays[0];
    if (!tray.complete || 2 * tray.cells[0].half_pitch_px < kFewestPx) continue;
    vision::Hints hints = told(scene, tray);
    for (const vision::Lattice& lattice : vision::find_lattices(photo.picture, hints).lattices)
      for (auto* table : {&learned, &by_shape}) {
        hints.counter = table == &learned ? vision::Counter::learned : vision::Counter::by_shape;
        const auto chances = vision::count_seedlings(photo.picture, lattice, hints);
        for (std::size_t i = 0; i < kinds.size(); ++i)
          if (kinds[i].holds(scene)) add((*table)[i], tray, lattice, chances);
      }
  }
  fmt::print(
      "| counter | trays | cells | state | exact | mean error | gaps seen |\n| --- | --- | --- | --- | --- | "
      "--- | --- |\n");
  print("learned", learned);
  print("by shape", by_shape);
  const auto share = [](const Tally& t) { return static_cast<double>(t.states) / std::max(1, t.cells); };
  return share(learned[0]) > share(by_shape[0]) + 0.05 ? 0 : 1;
}
