// SPDX-License-Identifier: Apache-2.0
#include "vision/spoilt.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "tests/vision/small_tray.h"
#include "vision/green_cells.h"
#include "vision/photo.h"
#include "vision/screen_stripes.h"
#include "vision/smear.h"
#include "vision/take_census.h"

using namespace braird;
using namespace braird::vision;

namespace {

cv::Mat brassica_tray() {
  return load_photo(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/plug-128-brassica.jpg").bgr;
}

/// The picture as a camera sees it on a screen: stripes `period` px wide, slightly turned, red, green and blue
/// brightest in turn.
cv::Mat on_screen(const cv::Mat& bgr, double strength, double period) {
  cv::Mat result = bgr.clone();
  result.forEach<cv::Vec3b>([&](cv::Vec3b& px, const int* at) {
    for (int c = 0; c < 3; ++c) {
      const double turn = 2 * std::numbers::pi * ((at[1] + 0.03 * at[0]) / period + c / 3.0);
      px[c] = cv::saturate_cast<uchar>(px[c] * (1 + strength * std::cos(turn)));
    }
  });
  return result;
}

/// The picture in the light of a lamp that gives so much of blue, green and red.
cv::Mat under_lamp(const cv::Mat& bgr, cv::Vec3d lamp) {
  cv::Mat result = bgr.clone();
  result.forEach<cv::Vec3b>([&](cv::Vec3b& px, const int*) {
    for (int c = 0; c < 3; ++c) px[c] = cv::saturate_cast<uchar>(px[c] * lamp[c]);
  });
  return result;
}

/// The picture as a camera takes it that moves so many px meanwhile, along `direction`, radians.
cv::Mat smeared(const cv::Mat& bgr, int px, double direction) {
  cv::Mat path(px, px, CV_32F, cv::Scalar(0)), result;
  const cv::Point2d middle(px / 2.0, px / 2.0),
      half(px / 2.0 * std::cos(direction), px / 2.0 * std::sin(direction));
  cv::line(path, middle - half, middle + half, cv::Scalar(1));
  cv::filter2D(bgr, result, -1, path / cv::sum(path)[0]);
  return result;
}

/// A brown picture in which the middles of the first `green` cells are green.
cv::Mat with_green_cells(const Lattice& lattice, int green) {
  cv::Mat picture(800, 900, CV_8UC3, cv::Scalar(40, 60, 80));
  for (int at = 0; at < green; ++at)
    cv::circle(picture, cell_centre(lattice, at / lattice.cols, at % lattice.cols), 25,
               cv::Scalar(40, 120, 60), -1);
  return picture;
}

bool is_of_screen(const cv::Mat& bgr) {
  return shows_screen_stripes(bgr, waves_of_light(bgr));
}

bool is_blurred_by_hand(const cv::Mat& bgr) {
  return is_smeared(waves_of_light(bgr));
}

std::vector<std::string> remarks_on(const cv::Mat& bgr) {
  return how_taken(bgr, Counted::seedlings).remarks;
}

bool one_says(const std::vector<std::string>& sentences, const char* words) {
  return std::ranges::any_of(sentences, [&](const std::string& s) { return s.find(words) != s.npos; });
}

}  // namespace

TEST_CASE("a photo of a screen shows stripes that run through the colours, a photo of a tray none") {
  const cv::Mat photo = brassica_tray();
  CHECK_FALSE(is_of_screen(photo));
  for (const double period : {5.0, 9.0, 20.0}) {
    CAPTURE(period);
    CHECK(is_of_screen(on_screen(photo, 0.2, period)));
  }
  for (const int side : {1, 63, 64, 65, 90, 127, 128, 131, 200})
    for (const int down : {500, 800}) {
      CAPTURE(side);
      CHECK_FALSE(is_of_screen(photo(cv::Rect(600, down, side, side))));
    }
  CHECK_FALSE(is_of_screen(cv::Mat(200, 200, CV_8UC3, cv::Scalar(10, 90, 200))));
}

TEST_CASE("stripes from one colour to another and back are no screen's") {
  cv::Mat striped(400, 400, CV_8UC3);
  striped.forEach<cv::Vec3b>([](cv::Vec3b& px, const int* at) {
    px = (at[0] + at[1]) % 12 < 6 ? cv::Vec3b(40, 160, 60) : cv::Vec3b(40, 60, 90);
  });
  CHECK_FALSE(is_of_screen(striped));
}

TEST_CASE("a lens that sends red and blue apart makes no screen of a part of a photo") {
  const cv::Mat photo = brassica_tray();
  std::vector<cv::Mat> colours;
  cv::split(photo, colours);
  for (const auto& [colour, grown] : {std::pair(0, 0.999), std::pair(2, 1.001)}) {
    const cv::Matx23d about_middle(grown, 0, (1 - grown) * photo.cols / 2, 0, grown,
                                   (1 - grown) * photo.rows / 2);
    cv::Mat& own = colours[static_cast<std::size_t>(colour)];
    cv::warpAffine(own.clone(), own, about_middle, photo.size(), cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  }
  cv::Mat seen;
  cv::merge(colours, seen);
  CHECK_FALSE(is_of_screen(seen(cv::Rect(0, 0, seen.cols / 2, seen.rows / 2))));
}

TEST_CASE("a picture of a few px, burnt out or not, is looked at like any other") {
  for (const int side : {1, 2, 3, 64})
    for (const int light : {0, 120, 255}) {
      CAPTURE(side);
      CAPTURE(light);
      const Taking taking = how_taken(cv::Mat(side, side, CV_8UC3, cv::Scalar::all(light)), Counted::seeds);
      CHECK((taking.spoilt.find("no colours") != std::string::npos) == (light < 255));
      CHECK(taking.remarks.empty());
    }
}

TEST_CASE("a photo of a screen is refused, and the way out named") {
  const Reading reading = take_census(Photo{{}, on_screen(brassica_tray(), 0.2, 11)}, {});
  CHECK(reading.census.trays.empty());
  CHECK(reading.refusal.find("taken of a screen") != std::string::npos);
  CHECK(reading.refusal.find("photograph the tray itself") != std::string::npos);
}

TEST_CASE("purple light is remarked on, white, warm and cool light are not") {
  const cv::Mat photo = brassica_tray();
  CHECK(one_says(remarks_on(under_lamp(photo, {1, 0.4, 1})), "the light is purple"));
  for (const cv::Vec3d& lamp : {cv::Vec3d(1, 1, 1), cv::Vec3d(0.6, 0.85, 1), cv::Vec3d(1, 0.9, 0.75)})
    CHECK(remarks_on(under_lamp(photo, lamp)).empty());
  CHECK(remarks_on(cv::Mat(90, 90, CV_8UC3, cv::Scalar::all(3))).empty());
}

TEST_CASE("a tray in purple light is counted with that remark") {
  const Reading reading = take_census(Photo{{}, under_lamp(brassica_tray(), {1, 0.5, 1})}, {});
  REQUIRE(reading.census.trays.size() == 1);
  CHECK(one_says(reading.census.remarks, "switch the lamp off"));
}

TEST_CASE("a photo smeared along one direction is told from a sharp one and from one out of focus") {
  const cv::Mat photo = brassica_tray();
  cv::Mat unfocused;
  cv::GaussianBlur(photo, unfocused, {}, 4);
  CHECK_FALSE(is_blurred_by_hand(photo));
  CHECK_FALSE(is_blurred_by_hand(unfocused));
  CHECK_FALSE(is_blurred_by_hand(cv::Mat(200, 200, CV_8UC3, cv::Scalar(10, 90, 200))));
  for (const double direction : {0.0, 0.8, 2.2}) {
    CAPTURE(direction);
    CHECK(is_blurred_by_hand(smeared(photo, 40, direction)));
  }
  CHECK(one_says(remarks_on(smeared(photo, 40, 1)), "smeared"));
}

TEST_CASE("cells that are green nearly all over are counted, and remarked on where they are half of all") {
  for (const double shift : {0.0, 0.5}) {
    const Lattice lattice = small_tray(shift);
    for (const int green : {0, 59, 60, 120}) {
      CAPTURE(green);
      const cv::Mat picture = with_green_cells(lattice, green);
      CHECK(count_green_cells(picture, lattice) == green);
      CHECK(remark_on_green(picture, lattice).empty() == (green < 60));
    }
  }
}

TEST_CASE("seedlings on bare medium bring no remark on green") {
  CHECK_FALSE(one_says(take_census(Photo{{}, brassica_tray()}, {}).census.remarks, "green nearly all over"));
}
