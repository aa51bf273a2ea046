// SPDX-License-Identifier: Apache-2.0
// Bare trays, painted on two days in other light from another side, are told by what lies on their medium.
#include "vision/litter.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "calibration/same_tray.h"
#include "samples/painter/days.h"
#include "samples/painter/painter.h"

namespace braird {
namespace {

/// A tray of plain medium that stays bare for days; another seed lays its crumbs otherwise.
painter::Scene bare_scene(std::uint64_t seed, LatticeKind lattice) {
  painter::Scene scene;
  scene.seed = seed;
  scene.ground = painter::Ground::table;
  painter::Tray tray;
  tray.rows = 6, tray.cols = 9, tray.lattice = lattice;
  if (lattice == LatticeKind::staggered) tray.odd_row_shift = 0.5;
  scene.trays = {tray};
  scene.camera.size = {640, 480};
  scene.camera.distance_mm = 330;
  return scene;
}

/// A tray in its photo, as the painter knows it to stand there.
struct Bare {
  vision::Photo photo;
  Tray tray;

  vision::Litter litter() const { return vision::litter_of({photo, tray}); }
  vision::Litter turned_litter() const { return vision::litter_of({photo, half_turned(tray)}); }
};

Bare photographed(const painter::Scene& scene, double day) {
  const auto painted = paint(on_day(scene, day, {.half_up = 30}));
  const painter::PaintedTray& truth = painted.trays.at(0);
  REQUIRE(truth.complete);
  Bare bare;
  bare.photo.bgr = painted.picture;
  bare.tray.layout = {truth.tray.rows, truth.tray.cols, truth.tray.lattice};
  for (const painter::PaintedCell& cell : truth.cells) {
    REQUIRE(cell.bases_px.empty());
    bare.tray.pitch_px = 2 * cell.half_pitch_px;
    bare.tray.cells.push_back(
        {cell.row, cell.col, {cell.centre_px.x - 0.5, cell.centre_px.y - 0.5}, 0, {1.0}, false});
  }
  return bare;
}

bool tells(double right, double wrong) {
  return right > 18 && right > wrong + 10;
}

}  // namespace

TEST_CASE("a bare tray is known on another day, and which way round it lies; another is not taken for it") {
  for (const LatticeKind lattice : {LatticeKind::square, LatticeKind::staggered}) {
    CAPTURE(name_of(lattice));
    constexpr std::uint64_t seed = 11;
    const painter::Scene scene = bare_scene(seed, lattice);
    const Bare first = photographed(scene, 5);
    Bare later = photographed(scene, 7);
    const vision::LitterMatch same = match_litter(first.litter(), later.litter()),
                              turned = match_litter(first.litter(), later.turned_litter());
    CHECK(tells(same.upright, same.turned));
    CHECK(tells(turned.turned, turned.upright));

    for (Cell& cell : later.tray.cells) cell.centre_px.x += 5;  // its lattice was found a little aside
    const vision::LitterMatch aside = match_litter(first.litter(), later.litter());
    CHECK(tells(aside.upright, aside.turned));

    const Bare other = photographed(bare_scene(seed + 100, lattice), 7);
    const vision::LitterMatch unlike = match_litter(first.litter(), other.litter());
    CHECK(std::max(unlike.upright, unlike.turned) < 8);
  }
}

}  // namespace braird
