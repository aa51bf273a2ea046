// SPDX-License-Identifier: Apache-2.0
// Labels drawn into sample photos at many sizes, tilts and blurs, and what they do to a tray's numbering.
#include "vision/labels.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <ctime>
#include <opencv2/imgproc.hpp>

#include "tests/times.h"
#include "tests/vision/drawn_labels.h"
#include "vision/numbering.h"
#include "vision/photo.h"

using namespace braird;
using namespace braird::test;
using namespace braird::vision;

namespace {

cv::Mat sample(const char* name) {
  return load_photo(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/" + name + ".jpg").bgr;
}

TrayLabel made_label(int number) {
  return {fmt::format("K{}", number), "Rowan 12", "kale", "2026-04-02", 1 + number % 4, "plug-128"};
}

LabelPose any_pose(double module_px, cv::Size photo, std::mt19937& random) {
  std::uniform_real_distribution<> share(0, 1);
  LabelPose pose;
  pose.module_px = module_px;
  const double room = 40 * module_px;
  pose.centre = {room + share(random) * (photo.width - 2 * room),
                 room + share(random) * (photo.height - 2 * room)};
  pose.turn_deg = 360 * share(random);
  pose.tilt_deg = 45 * share(random);
  pose.tilt_axis_deg = 360 * share(random);
  pose.blur_px = share(random);
  pose.light = 0.4 + 0.6 * share(random);
  pose.noise = 1 + 3 * share(random);
  return pose;
}

Lattice level_lattice(int rows, int cols, double shift) {
  Lattice lattice;
  lattice.rows = rows;
  lattice.cols = cols;
  lattice.odd_row_shift = shift;
  lattice.photo_from_plane = {100, 0, 500, 0, 100, 400, 0, 0, 1};
  lattice.lens = {{1000, 800}, 1280, 0};
  return lattice;
}

/// Galvanised wire over dark soil, in uneven light.
cv::Mat wire_mesh(cv::Size size) {
  constexpr double kPitch = 16, kWire = 3.2, kTurn = 0.43;
  const auto past_wire = [](double at) { return at - kPitch * std::floor(at / kPitch); };
  cv::Mat mesh(size, CV_8UC3);
  for (int y = 0; y < size.height; ++y)
    for (int x = 0; x < size.width; ++x) {
      const double along = x * std::cos(kTurn) + y * std::sin(kTurn),
                   across = y * std::cos(kTurn) - x * std::sin(kTurn);
      const bool wire = past_wire(along) < kWire || past_wire(across) < kWire;
      const double light = 1 + 0.4 * std::sin(x / 180.) * std::cos(y / 230.);
      mesh.at<cv::Vec3b>(y, x) = cv::Vec3b::all(cv::saturate_cast<unsigned char>((wire ? 120 : 45) * light));
    }
  cv::GaussianBlur(mesh, mesh, {}, 1.2);
  return mesh;
}

/// A label whose print is upright in the photo, or turned.
SeenLabel label_at(cv::Point2d middle, double turn_deg = 0) {
  SeenLabel seen;
  seen.label = made_label(1);
  for (int corner = 0; corner < 4; ++corner) {
    const double a = (turn_deg - 135 + 90 * corner) * CV_PI / 180;
    seen.corners_px[static_cast<std::size_t>(corner)] = {middle.x + 60 * std::cos(a),
                                                         middle.y + 60 * std::sin(a)};
  }
  return seen;
}

}  // namespace

TEST_CASE(
    "labels with modules of 3 px and more are read in 98 % of drawn compositions, and none is misread") {
  std::mt19937 random(2026);
  int read = 0, misread = 0, drawn = 0;
  for (const char* name : {"plug-128-brassica", "paper-chain-264-beet", "paper-chain-264-brassica"}) {
    const cv::Mat photo = sample(name);
    for (int round = 0; round < test::times(14, 2); ++round)
      for (const double module_px : {3., 3.5, 4., 5., 7., 10.}) {
        const TrayLabel label = made_label(++drawn);
        const auto seen = read_labels(
            with_label(photo, label_text(label), any_pose(module_px, photo.size(), random), random));
        for (const SeenLabel& one : seen) (one.label == label ? read : misread) += 1;
      }
  }
  MESSAGE("read ", read, " of ", drawn);
  CHECK(read >= 0.98 * drawn);
  CHECK(misread == 0);
}

TEST_CASE("photos without labels show none, nor does a code that is no label") {
  for (const char* name : {"plug-128-brassica", "bench-without-tray", "paper-chain-264-beet"})
    CHECK(read_labels(sample(name)).empty());
  std::mt19937 random(5);
  LabelPose pose;
  pose.centre = {900, 700};
  CHECK(read_labels(with_label(sample("bench-without-tray"), "https://example.org/", pose, random)).empty());
}

TEST_CASE("two labels in one photo are two, each where it stands") {
  std::mt19937 random(5);
  LabelPose pose;
  pose.centre = {600, 500};
  const cv::Mat one = with_label(sample("bench-without-tray"), label_text(made_label(1)), pose, random);
  pose.centre = {1500, 900};
  pose.turn_deg = 180;
  auto seen = read_labels(with_label(one, label_text(made_label(2)), pose, random));
  REQUIRE(seen.size() == 2);
  if (seen[0].label.tag == "K2") std::swap(seen[0], seen[1]);
  CHECK(std::abs(seen[0].corners_px[0].x + seen[0].corners_px[2].x - 1200) < 8);
  CHECK(seen[0].corners_px[0].x < seen[0].corners_px[1].x);
  CHECK(seen[1].corners_px[0].x > seen[1].corners_px[1].x);  // upside down
}

TEST_CASE("wire mesh, whose holes look like a code's corners, costs a label no long search") {
  std::mt19937 random(5);
  LabelPose pose;
  pose.centre = {400, 300};
  pose.turn_deg = 20;
  const cv::Mat photo = with_label(wire_mesh({800, 600}), label_text(made_label(1)), pose, random);
  const std::clock_t start = std::clock();
  const auto seen = read_labels(photo);
  const double seconds = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
  MESSAGE(seconds, " s");
  CHECK(seconds < 2);
  REQUIRE(seen.size() == 1);
  CHECK(seen[0].label == made_label(1));
}

TEST_CASE("rows and columns start at the label's corner") {
  const Lattice square = level_lattice(6, 9, 0), chain = level_lattice(6, 9, 0.5);
  Hints hints;
  hints.rows = 6;
  hints.cols = 9;
  for (const Lattice& lattice : {square, chain}) {
    CHECK(numbered_by_label(lattice, label_at({420, 330}), hints).plane_from_tray == lattice.plane_from_tray);
    const Lattice turned = numbered_by_label(lattice, label_at({1370, 980}), hints);
    CHECK(cv::norm(cell_centre(turned, 0, 0) - cell_centre(lattice, 5, 8)) < 1e-6);
  }
  // Nine rows of six: the columns as found, read downwards from the upper right.
  hints.rows = 9;
  hints.cols = 6;
  const Lattice upended = numbered_by_label(square, label_at({1370, 330}), hints);
  CHECK(upended.rows == 9);
  CHECK(cv::norm(cell_centre(upended, 0, 0) - cell_centre(square, 0, 8)) < 1e-6);
  CHECK(cv::norm(cell_centre(upended, 0, 5) - cell_centre(square, 5, 8)) < 1e-6);
  const Lattice even = level_lattice(8, 8, 0);
  hints.rows = hints.cols = 8;
  const Lattice quarter = numbered_by_label(even, label_at({1270, 330}), hints);
  CHECK(cv::norm(cell_centre(quarter, 0, 0) - cell_centre(even, 0, 7)) < 1e-6);
  // As near to one corner as to the other, the print's direction decides.
  hints.rows = 6;
  hints.cols = 9;
  const Lattice by_print = numbered_by_label(square, label_at({900, 650}, 180), hints);
  CHECK(cv::norm(cell_centre(by_print, 0, 0) - cell_centre(square, 5, 8)) < 1e-6);
}

TEST_CASE("each label goes to the tray beside it, and one far off to none") {
  Lattice left = level_lattice(6, 9, 0), right = left;
  right.photo_from_plane(0, 2) += 1300;
  const auto label_of =
      assign_labels({left, right}, {label_at({1700, 350}), label_at({420, 320}), label_at({500, 2500})});
  CHECK(label_of == std::vector<int>{1, 0});
  CHECK(assign_labels({left}, {label_at({500, 2500})}) == std::vector<int>{-1});
}

TEST_CASE("a label's text says what was put in, whatever it is") {
  for (const TrayLabel& label :
       {made_label(3), TrayLabel{"A1", {}, {}, {}, {}, {}},
        TrayLabel{"A|1", "50% off | \"now\"\n", "pak choi 白菜", "2026-12-31", 50, "22x12s"}})
    CHECK(read_label_text(label_text(label)) == label);
  CHECK(label_text(made_label(3)) == "braird 1|K3|Rowan 12|kale|2026-04-02|4|plug-128");
  CHECK(read_label_text("braird 2|A1||||||from a later version").has_value());
  for (const char* none :
       {"", "braird", "braird 1", "braird 1||a|b||1|", "braird 0|A1|||||", "braird 1|A1|||2026-02-30||",
        "braird 1|A1||||0|", "braird 1|A1||||x|", "braird 1|A%4|||||", "https://example.org"}) {
    CAPTURE(none);
    CHECK_FALSE(read_label_text(none).has_value());
  }
  CHECK_THROWS_AS(label_text({"", {}, {}, {}, {}, {}}), std::invalid_argument);
  CHECK_THROWS_AS(label_text({"A1", std::string(200, 'x'), {}, {}, {}, {}}), std::invalid_argument);
}
