// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <cmath>
#include <opencv2/core.hpp>
#include <tuple>

#include "samples/painter/painter.h"

using namespace braird::painter;

namespace {

constexpr double kHalf = 6;  // mm

/// One tray without plants under an even sky, 8 x 8 cells.
Scene bare_scene() {
  Scene scene;
  scene.seed = 11;
  scene.ground = Ground::table;
  Tray tray;
  tray.rows = tray.cols = 8;
  tray.sowing.bare = true;
  scene.trays = {tray};
  scene.finish.noise = 0, scene.finish.sharpening = 0;
  scene.camera.size = {560, 420}, scene.camera.distance_mm = 420;
  return scene;
}

/// Across the tray's middle, along its fifth row.
std::pair<cv::Point2d, cv::Point2d> line() {
  return {{-180, 16}, {180, 16}};
}

cv::Vec3d mean_at(const PaintedPhoto& photo, int row) {
  cv::Scalar sum;
  for (const PaintedCell& cell : photo.trays[0].cells)
    if (cell.row == row) sum += cv::mean(photo.picture(cv::Rect(cv::Point(cell.centre_px), cv::Size(3, 3))));
  return {sum[0] / 8, sum[1] / 8, sum[2] / 8};
}

}  // namespace

TEST_CASE("a thing lies where it is told, over the cells there, and moves none") {
  const PaintedPhoto bare = paint(bare_scene());
  Scene scene = bare_scene();
  Thing slat;
  std::tie(slat.from, slat.to) = line();
  slat.half_width_mm = kHalf, slat.thick_mm = 2, slat.round = 0.05, slat.colour = {0.9f, 0.05f, 0.05f};
  scene.across = {slat};
  const PaintedPhoto covered = paint(scene);
  REQUIRE(covered.across_px.size() == 1);
  REQUIRE(covered.trays[0].cells.size() == 64);
  for (std::size_t i = 0; i < 64; ++i)
    CHECK(covered.trays[0].cells[i].centre_px == bare.trays[0].cells[i].centre_px);
  const cv::Vec3d blue = mean_at(covered, 4);
  CHECK(blue[0] > blue[2] + 60);
  CHECK(mean_at(covered, 1)[0] == doctest::Approx(mean_at(bare, 1)[0]).epsilon(0.25));
  const auto& cell = covered.trays[0].cells[4 * 8 + 4];
  const auto [from, to] = covered.across_px[0];
  CHECK(std::abs((to - from).cross(cell.centre_px - from)) / cv::norm(to - from) < 2);
}

TEST_CASE("a stripe takes light where it falls, or everywhere else") {
  const PaintedPhoto bare = paint(bare_scene());
  Scene scene = bare_scene();
  Stripe stripe;
  std::tie(stripe.from, stripe.to) = line();
  stripe.half_width_mm = kHalf, stripe.depth = 0.8;
  scene.light.stripes = {stripe};
  const PaintedPhoto dark = paint(scene);
  scene.light.stripes[0].light = true;
  const PaintedPhoto streak = paint(scene);
  const auto brightness = [](const PaintedPhoto& photo, int row) { return cv::norm(mean_at(photo, row)); };
  const double there = brightness(bare, 4) / brightness(bare, 1);
  CHECK(brightness(dark, 4) / brightness(dark, 1) < 0.75 * there);
  CHECK(brightness(streak, 4) / brightness(streak, 1) > 1.3 * there);
}

TEST_CASE("things lie across only where they are asked for, and all else stays") {
  Shares shares;
  shares.across = 1;
  int laid = 0;
  for (int seed = 300; seed < 320; ++seed) {
    const Scene plain = any_scene(seed), scene = any_scene(seed, 1600, shares);
    CHECK(plain.across.empty());
    CHECK(plain.light.stripes.empty());
    CHECK(scene.label == plain.label);
    CHECK(scene.camera.distance_mm == plain.camera.distance_mm);
    CHECK(scene.finish.exposure == plain.finish.exposure);
    const std::size_t all = scene.across.size() + scene.light.stripes.size();
    CHECK(all <= 3);
    CHECK((all > 0) == !scene.trays.empty());
    laid += all > 0 ? 1 : 0;
  }
  CHECK(laid > 15);
}
