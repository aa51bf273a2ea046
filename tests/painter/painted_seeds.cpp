// SPDX-License-Identifier: Apache-2.0
// painted_seeds FIRST COUNT [PX]: paints the scenes with seeds in view among COUNT from seed FIRST on, a
// third of them with seeds of the medium's colour and a sixth with nothing sown (empty wells where the tray
// is square); counts the seeds with layout and drop told, and prints a line a tray (for setting limits) and a
// table: how far seeds stand out from the medium, trays, refused; of those in which single seeds are told the
// share of cells that are exact and of those that are wrong though over 0.9 sure; of the others, how far off
// the sum of seeds is and how many of the missed cells are found. Exits with 1 if more than one cell in a
// hundred is wrong and sure where seeds stand out most.
#include <fmt/core.h>

#include <algorithm>
#include <cstdlib>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "calibration/sowing_check.h"
#include "samples/painter/painter.h"
#include "tests/painter/as_saved.h"
#include "vision/cell_chances.h"
#include "vision/lattice.h"
#include "vision/seeds.h"
#include "vision/seeds_told.h"

namespace {

using namespace braird;
using painter::PaintedTray;
using painter::Scene;
using vision::CountChances;
using vision::Lattice;

/// Colour difference of seed and medium, CIE 1976 L*a*b*.
double stands_out(const Scene& scene) {
  const cv::Mat3f pair =
      (cv::Mat3f(1, 2) << cv::Vec3f(scene.seeds_in_view->colour), cv::Vec3f(scene.trays[0].medium.colour));
  cv::Mat3f lab;
  cv::cvtColor(pair, lab, cv::COLOR_LBGR2Lab);
  return cv::norm(lab(0, 0) - lab(0, 1));
}

struct Tally {
  int trays = 0, refused = 0, cells = 0, exact = 0, wrong_and_sure = 0;
  int rough = 0;  // trays in which single seeds are not told
  double sum_off = 0;
  int missed = 0, found = 0, called_missed = 0;
};

/// Counts against truth, cell by cell of the tray; nothing where the lattice is another.
Tally compare(const PaintedTray& truth, const Lattice& found, const std::vector<CountChances>& chances) {
  Tally tally;
  double seeds = 0, said = 0;
  for (const painter::PaintedCell& cell : truth.cells)
    for (int i = 0; i < found.rows * found.cols; ++i) {
      const cv::Point2d at = cell_centre(found, i / found.cols, i % found.cols);
      if (cv::norm(cell.centre_px - cv::Point2d(0.5, 0.5) - at) > cell.half_pitch_px) continue;
      const CountChances& p = chances[static_cast<std::size_t>(i)];
      const int lying = static_cast<int>(cell.seeds_px.size()), counted = vision::count_of(p);
      const bool exact = counted == lying;
      ++tally.cells;
      seeds += lying, said += counted;
      tally.missed += lying == 0, tally.called_missed += counted == 0;
      tally.found += lying == 0 && counted == 0;
      tally.exact += exact, tally.wrong_and_sure += !exact && *std::max_element(p.begin(), p.end()) > 0.9;
      break;
    }
  tally.sum_off = std::abs(said - seeds) / std::max(1.0, seeds);
  return tally;
}

Tally count(const Scene& scene) {
  const auto photo = painter::as_saved(scene);
  const PaintedTray& truth = photo.trays[0];
  if (!truth.complete) return {};
  vision::Hints hints;
  hints.rows = truth.tray.rows, hints.cols = truth.tray.cols, hints.lattice = truth.tray.lattice;
  hints.seeds_per_cell = truth.tray.sowing.seeds_per_cell;
  hints.counted = Counted::seeds;
  for (const Lattice& lattice : vision::find_lattices(photo.picture, hints).lattices) {
    const vision::SeedsSeen seen_seeds = vision::see_seeds(photo.picture, lattice, hints);
    const auto& chances = seen_seeds.chances;
    Tally tally = compare(truth, lattice, chances);
    if (tally.cells < 0.9 * static_cast<double>(truth.cells.size())) continue;
    tally.trays = 1;
    tally.refused = !vision::why_no_count(photo.picture, lattice, hints, seen_seeds).empty();
    Tray said;
    for (const CountChances& cell : chances) said.cells.push_back(vision::with_chances({}, cell));
    tally.rough = !tally.refused && !single_seeds_told(said);
    double seen = 0;
    for (const auto& cell : truth.cells) seen += static_cast<double>(cell.seeds_px.size());
    const vision::SeedSight sight = vision::sight_of(chances);
    fmt::print(
        "# {} bare {:d} out {:.1f} px {:.2f} seen {:.2f} exact {:.3f} empty {:.3f} doubt {:.3f} learned "
        "{:.3f} miscounted {:.3f} wrong {:.3f} "
        "refused {} rough {}\n",
        scene.seed, truth.tray.sowing.bare, stands_out(scene),
        scene.seeds_in_view->length_mm / truth.tray.pitch_mm * 2 * truth.cells[0].half_pitch_px,
        seen / static_cast<double>(truth.cells.size()), 1.0 * tally.exact / tally.cells, sight.empty,
        sight.doubt, sight.learned, sight.miscounted, 1.0 * tally.wrong_and_sure / tally.cells, tally.refused,
        tally.rough);
    std::fflush(stdout);
    return tally;
  }
  return {};
}

void add(Tally& to, const Tally& tally) {
  to.trays += tally.trays, to.refused += tally.refused;
  if (tally.refused) return;
  if (tally.rough) {
    to.rough += 1, to.sum_off += tally.sum_off;
    to.missed += tally.missed, to.found += tally.found, to.called_missed += tally.called_missed;
    return;
  }
  to.cells += tally.cells, to.exact += tally.exact, to.wrong_and_sure += tally.wrong_and_sure;
}

}  // namespace

int main(int argc, char** argv) {
  const int from = argc > 1 ? std::atoi(argv[1]) : 7000000, scenes = argc > 2 ? std::atoi(argv[2]) : 100,
            px = argc > 3 ? std::atoi(argv[3]) : 1600;
  constexpr int kBands = 5;
  const char* names[kBands] = {"nothing sown", "under 10", "10 to 20", "20 to 40", "40 and more"};
  const double least[kBands] = {-1, 0, 10, 20, 40};  // difference of colour
  Tally table[kBands];
  for (int seed = from, found = 0; seed < from + scenes; ++seed) {
    Scene scene = painter::any_scene(static_cast<std::uint64_t>(seed), px);
    if (!scene.seeds_in_view || scene.seeds_in_view->failed_only || scene.trays[0].sowing.bare) continue;
    const int kind = ++found % 6;
    painter::Tray& tray = scene.trays[0];
    if (kind == 2 || kind == 4) scene.seeds_in_view->colour = tray.medium.colour;
    if (kind == 0) tray.empty_wells = tray.lattice == LatticeKind::square, tray.sowing.bare = true;
    const double out = tray.sowing.bare ? -1 : stands_out(scene);
    add(table[std::upper_bound(least, least + kBands, out) - least - 1], count(scene));
  }
  fmt::print(
      "| stands out by | trays | refused | told | exact | wrong, over 0.9 sure | by and large | sum off | "
      "missed: true, found, said |\n"
      "| --- | --- | --- | --- | --- | --- | --- | --- | --- |\n");
  for (int i = 0; i < kBands; ++i) {
    const Tally& t = table[i];
    const double cells = std::max(1, t.cells);
    fmt::print("| {} | {} | {} | {} | {:.3f} | {:.4f} | {} | {:.3f} | {}, {}, {} |\n", names[i], t.trays,
               t.refused, t.trays - t.refused - t.rough, t.exact / cells, t.wrong_and_sure / cells, t.rough,
               t.sum_off / std::max(1, t.rough), t.missed, t.found, t.called_missed);
  }
  return table[kBands - 1].wrong_and_sure * 100 > table[kBands - 1].cells ? 1 : 0;
}
