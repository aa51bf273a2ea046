// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/painter.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <numeric>
#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>
#include <span>

#include "samples/painter/camera.h"
#include "tests/times.h"
#include "vision/cell_chances.h"
#include "vision/lattice.h"
#include "vision/seedlings.h"

using braird::LatticeKind;
using namespace braird::painter;

namespace {

constexpr int kSide = 560;  // px: small, so that the whole range is painted in seconds

bool same(const cv::Mat& a, const cv::Mat& b) {
  return a.size() == b.size() && cv::norm(a, b, cv::NORM_INF) == 0;
}

bool inside(const std::vector<cv::Point2d>& outline, cv::Point2d point, double slack_px) {
  std::vector<cv::Point2f> corners(outline.begin(), outline.end());
  return cv::pointPolygonTest(corners, point, true) > -slack_px;
}

/// One well-lit tray, sown with one plain crop.
Scene plain_scene() {
  Scene scene;
  scene.seed = 5;
  scene.ground = Ground::table;
  Tray tray;
  tray.rows = 4, tray.cols = 6, tray.underfilled = 0;
  tray.sowing.skipped = 0, tray.sowing.germination = 1, tray.sowing.seeds_spread = 0;
  scene.trays = {tray};
  scene.camera.size = {kSide, kSide * 3 / 4};
  scene.camera.distance_mm = 240;
  return scene;
}

double greenness(const cv::Mat3b& picture, cv::Point2d at, double reach) {
  const cv::Rect box(cv::Point(cvFloor(at.x - reach), cvFloor(at.y - reach)),
                     cv::Size(cvCeil(2 * reach), cvCeil(2 * reach)));
  double green = 0;
  for (const cv::Vec3b& c : cv::Mat3b(picture(box & cv::Rect(cv::Point(), picture.size()))))
    green += 2 * c[1] - c[0] - c[2] > 25;
  return green;
}

}  // namespace

TEST_CASE("the same seed paints the same bytes, another seed another photo") {
  constexpr std::array<std::uint64_t, 3> seeds = {3, 10, 27};
  for (const std::uint64_t seed : std::span(seeds).first(braird::test::times(3, 1))) {
    CAPTURE(seed);
    const PaintedPhoto once = paint(any_scene(seed, kSide)), again = paint(any_scene(seed, kSide));
    CHECK(same(once.picture, again.picture));
    CHECK(same(once.maps, again.maps));
    CHECK_FALSE(same(once.picture, paint(any_scene(seed + 1, kSide)).picture));
  }
}

TEST_CASE("truth agrees with itself over the whole range of scenes") {
  int trays = 0, seedlings = 0, seeds_seen = 0;
  for (std::uint64_t seed = 1; seed <= braird::test::times(30, 6); ++seed) {
    CAPTURE(seed);
    const Scene scene = any_scene(seed, kSide);
    const PaintedPhoto photo = paint(scene);
    REQUIRE(std::max(photo.picture.cols, photo.picture.rows) == kSide);
    REQUIRE(photo.trays.size() == scene.trays.size());
    for (const PaintedTray& tray : photo.trays) {
      ++trays;
      const std::size_t all = static_cast<std::size_t>(tray.tray.rows) * tray.tray.cols;
      REQUIRE(tray.complete == (tray.cells.size() == all));
      for (const PaintedCell& cell : tray.cells) {
        CAPTURE(cell.row);
        CAPTURE(cell.col);
        const std::size_t up = cell.bases_px.size();
        REQUIRE(inside(tray.outline_px, cell.centre_px, 0.3 * cell.half_pitch_px));
        REQUIRE(cell.half_pitch_px > 0);
        REQUIRE(up <= static_cast<std::size_t>(cell.seeds * scene.crop.plants_per_seed));
        REQUIRE(cell.visible_px.size() == up);
        REQUIRE(cell.bases_visible.size() == up);
        REQUIRE(visible(cell) <= static_cast<int>(up));
        REQUIRE(std::ssize(cell.seeds_px) <= cell.seeds);
        for (const cv::Point2d& place : cell.seeds_px)
          REQUIRE(cv::norm(place - cell.centre_px) < 2.5 * cell.half_pitch_px);
        for (const cv::Point2d& base : cell.bases_px)
          REQUIRE(cv::norm(base - cell.centre_px) < 2.5 * cell.half_pitch_px);
        seedlings += static_cast<int>(up), seeds_seen += static_cast<int>(cell.seeds_px.size());
      }
    }
  }
  CHECK(trays > braird::test::times(25, 3));
  CHECK(seedlings > braird::test::times(1000, 100));
  CHECK(seeds_seen > braird::test::times(20, -1));
}

TEST_CASE(
    "scenes are mixed as asked: without a tray, before emergence, with seeds in view, of both lattices") {
  constexpr int kScenes = 1000;
  int no_tray = 0, bare = 0, in_view = 0, staggered = 0, steep = 0;
  for (std::uint64_t seed = 1; seed <= kScenes; ++seed) {
    const Scene scene = any_scene(seed, kSide);
    no_tray += scene.trays.empty();
    in_view += scene.seeds_in_view && !scene.seeds_in_view->failed_only;
    bare += !scene.trays.empty() && scene.trays[0].sowing.germination == 0;
    staggered += !scene.trays.empty() && scene.trays[0].lattice == LatticeKind::staggered;
    steep += scene.camera.tilt > 10 * CV_PI / 180;
    REQUIRE(scene.camera.tilt <= 25.001 * CV_PI / 180);
    REQUIRE(std::abs(scene.camera.k1) <= 0.1);
  }
  // Five standard deviations about the wanted shares: 5 %, 8 %, and 15 % of what has a tray.
  CHECK(std::abs(no_tray - 50) <= 34);
  CHECK(std::abs(bare - 80) <= 43);
  CHECK(std::abs(in_view - 142) <= 56);
  CHECK(staggered > 250);
  CHECK(staggered < 600);
  CHECK(steep > 50);
  CHECK(steep < 350);
}

TEST_CASE("where nothing came up, nothing is visible and no cell is greener than its medium") {
  Scene scene = plain_scene();
  scene.trays[0].sowing.germination = 0;
  scene.trays[0].medium.fibres = 0;
  const PaintedPhoto photo = paint(scene);
  for (const PaintedCell& cell : photo.trays[0].cells) {
    CHECK(cell.seeds == 1);
    CHECK(visible(cell) == 0);
    CHECK(cell.bases_px.empty());
    CHECK(greenness(photo.picture, cell.centre_px, 0.8 * cell.half_pitch_px) == 0);
  }
  std::vector<cv::Mat1b> maps;
  cv::split(photo.maps, maps);
  CHECK(cv::countNonZero(maps[1]) == 0);
}

TEST_CASE("a sown cell is green, a skipped one is not: truth and picture tell the same") {
  Scene scene = plain_scene();
  scene.trays[0].sowing.lean = 0.05, scene.trays[0].sowing.scatter = 0.03,
  scene.trays[0].sowing.skipped = 0.4;
  const PaintedPhoto photo = paint(scene);
  int sown = 0;
  for (const PaintedCell& cell : photo.trays[0].cells) {
    const bool green = greenness(photo.picture, cell.centre_px, 0.5 * cell.half_pitch_px) > 15;
    CHECK(green == (visible(cell) > 0));
    sown += cell.seeds > 0;
  }
  CHECK(sown > 6);
  CHECK(sown < 24);
}

TEST_CASE("leaves get another colour only where they are asked for, and all else stays") {
  for (const std::uint64_t seed : {2, 3, 4}) {
    const Scene green = any_scene(seed, kSide), other = any_scene(seed, kSide, {.coloured = 1});
    CHECK(!green.coloured);
    CHECK(other.coloured);
    CHECK(cv::norm(other.crop.leaf - green.crop.leaf) > 0.02);
    CHECK(other.crop.cotyledon_mm == green.crop.cotyledon_mm);
    CHECK(other.trays.size() == green.trays.size());
    CHECK(other.camera.distance_mm == green.camera.distance_mm);
  }
}

TEST_CASE("algae and moss spread only where they are asked for, and all else stays") {
  for (const std::uint64_t seed : {2, 3, 4}) {
    const Scene clean = any_scene(seed, kSide), other = any_scene(seed, kSide, {.overgrown = 1});
    CHECK(!clean.overgrown);
    CHECK(other.overgrown);
    REQUIRE(other.trays.size() == clean.trays.size());
    CHECK(other.trays[0].medium.algae + other.trays[0].medium.moss >
          clean.trays[0].medium.algae + clean.trays[0].medium.moss);
    CHECK(other.trays[0].sowing.germination == clean.trays[0].sowing.germination);
    CHECK(other.camera.distance_mm == clean.camera.distance_mm);
  }
}

TEST_CASE("seedlings are counted whatever their leaves' colour") {
  for (const Colour& leaf : {srgb(90, 140, 50), srgb(120, 35, 50), srgb(105, 60, 85), srgb(190, 190, 90)}) {
    CAPTURE(leaf);
    Scene scene = plain_scene();
    scene.crop.leaf = leaf, scene.crop.stem = leaf;
    braird::vision::Hints told;
    told.rows = 4, told.cols = 6, told.habit = braird::vision::SeedlingHabit::round_pair,
    told.seeds_per_cell = 1;
    const cv::Mat picture = paint(scene).picture;
    const auto found = braird::vision::find_lattices(picture, told).lattices;
    REQUIRE(found.size() == 1);
    const auto chances = braird::vision::count_seedlings(picture, found[0], told);
    CHECK(std::ranges::count_if(chances, [](const auto& of) { return braird::vision::count_of(of) == 1; }) >=
          22);
  }
}

TEST_CASE("a tray half out of the frame is not complete and lists whole cells only") {
  Scene scene = plain_scene();
  scene.camera.aim_mm = {110, 0};
  const PaintedPhoto photo = paint(scene);
  CHECK_FALSE(photo.trays[0].complete);
  CHECK(photo.trays[0].cells.size() > 4);
  CHECK(photo.trays[0].cells.size() < 24);
  for (const PaintedCell& cell : photo.trays[0].cells) CHECK(cell.centre_px.x > 0);
}

// Identity: r (1 + k1 r²) and its inverse, and a pinhole's scale, focal length over distance.
TEST_CASE("the camera projects what its rays meet") {
  CameraPose pose;
  pose.tilt = 0.4, pose.tilt_towards = 1, pose.roll = 2;
  for (const double k1 : {-0.1, 0.0, 0.1}) {
    pose.k1 = k1;
    const Camera camera = camera_of(pose);
    for (const cv::Point2d px : {cv::Point2d(3, 4), cv::Point2d(800, 600), cv::Point2d(1597, 1190)}) {
      const cv::Point2d mm = on_plane(camera, px, -30);
      CHECK(cv::norm(project(camera, {mm.x, mm.y, -30}).px - px) < 1e-3);
    }
  }
  pose = {};
  const Camera above = camera_of(pose);
  const cv::Point2d a = project(above, {0, 0, 0}).px, b = project(above, {10, 0, 0}).px;
  CHECK(b.x - a.x == doctest::Approx(10 * above.focal_px / pose.distance_mm));
  CHECK(b.y == doctest::Approx(a.y));
}

TEST_CASE("tall seedlings lean outwards from the middle of the photo, as h r / (d - h) says") {
  const Camera camera = camera_of({});
  const double d = CameraPose().distance_mm, r = 300, h = 30, scale = camera.focal_px / d;
  const double lean = (project(camera, {r, 0, h}).px.x - project(camera, {r, 0, 0}).px.x) / scale;
  CHECK(lean == doctest::Approx(h * r / (d - h)));
}

TEST_CASE("odd rows of a staggered tray stand half a pitch aside; creep and bow stay smooth") {
  Scene scene = plain_scene();
  Tray& tray = scene.trays[0];
  tray.lattice = LatticeKind::staggered, tray.odd_row_shift = 0.5, tray.row_pitch_mm = 29;
  const PaintedPhoto photo = paint(scene);
  const auto& cells = photo.trays[0].cells;
  REQUIRE(cells.size() == 24);
  const cv::Point2d along = cells[1].centre_px - cells[0].centre_px,
                    aside = cells[6].centre_px - cells[0].centre_px;
  CHECK(aside.x / along.x == doctest::Approx(0.5).epsilon(0.02));
}
