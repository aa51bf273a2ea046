// SPDX-License-Identifier: Apache-2.0
// One tray photographed on four days, kept beside the project for measuring: how its photos are joined, and
// how well its time course is read. Skipped where the photos are absent. Floors are what was measured, so
// that they rise.
#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgproc.hpp>

#include "calibration/cell_course.h"
#include "calibration/same_tray.h"
#include "cli/order.h"
#include "vision/coming_up.h"
#include "vision/litter.h"
#include "vision/take_census.h"

using namespace braird;
using nlohmann::json;

namespace {

const std::filesystem::path kSeries = std::filesystem::path(BRAIRD_SOURCE_DIR) / ".." / "shared" / "series";
const int kDays[] = {5, 6, 7, 9};

std::string name_of_day(int day) {
  return (kSeries / ("kale128-day0" + std::to_string(day))).string();
}

bool absent() {
  if (std::filesystem::exists(name_of_day(5) + ".jpg")) return false;
  MESSAGE("skipped: the series of photos is not here");
  return true;
}

vision::Photo photo_of(int day) {
  return vision::load_photo(name_of_day(day) + ".jpg");
}

vision::Hints hints_told() {
  cli::CountArguments told{.tray = "plug-128", .crop = "kale", .seeds = 1};
  told.keep = true;  // looks where the plants stand
  return cli::understand(told, built_in_profiles()).hints;
}

Tray counted(const vision::Photo& photo) {
  const auto reading = vision::take_census(photo, hints_told());
  REQUIRE(reading.census.trays.size() == 1);
  return reading.census.trays[0];
}

/// What a tray is known by.
struct Print {
  Tray tray;
  vision::Litter litter;
};

Print print_of(int day, bool upside_down) {
  vision::Photo photo = photo_of(day);
  if (upside_down) cv::rotate(photo.bgr, photo.bgr, cv::ROTATE_180);
  const Tray tray = counted(photo);
  return {tray, vision::litter_of({photo, tray})};
}

TrayMatch match(const Print& one, const Print& other) {
  const auto [upright, turned] = match_litter(one.litter, other.litter);
  return match_trays(one.tray, other.tray, {upright, turned});
}

json truth_of(int day) {
  return json::parse(std::ifstream(name_of_day(day) + ".truth.json"))["cells"];
}

/// Whether the count starts at the truth's first cell.
bool numbered_like(const json& truth, const Tray& tray) {
  const Point& first = tray.cells[0].centre_px;
  return std::hypot(first.x - truth[0]["centre_px"][0].get<double>(),
                    first.y - truth[0]["centre_px"][1].get<double>()) <
         truth[0]["half_pitch_px"].get<double>();
}

/// All but the last are read again.
void read_again(std::vector<Tray>& trays) {
  for (std::size_t at = 0; at < 3; ++at) {
    const vision::Photo photo = photo_of(kDays[at]);
    trays[at] = vision::with_counts(trays[at], count_coming_up({photo, trays[at]}, hints_told()));
  }
}

}  // namespace

TEST_CASE("the series' photos are all joined, the right way round") {
  if (absent()) return;
  std::vector<Print> upright, turned;
  std::vector<bool> like_truth;
  for (const int day : kDays) {
    upright.push_back(print_of(day, false));
    turned.push_back(print_of(day, true));
    like_truth.push_back(numbered_like(truth_of(day), upright.back().tray));
  }
  for (std::size_t one = 0; one < 4; ++one)
    for (std::size_t two = one + 1; two < 4; ++two) {
      CAPTURE(one);
      CAPTURE(two);
      const bool same = like_truth[one] == like_truth[two];
      const TrayMatch plain = match(upright[one], upright[two]), half = match(upright[one], turned[two]);
      MESSAGE(kDays[one], " and ", kDays[two], ": ", plain.upright, " nats upright, ", plain.turned,
              " turned");
      // Turning the photo by half turns the numbering, since it starts at the photo's upper left.
      CHECK(plain.verdict == (same ? SameTray::same : SameTray::turned));
      CHECK(half.verdict == (same ? SameTray::turned : SameTray::same));
    }
}

TEST_CASE("the series' time course against its truth") {
  if (absent()) return;
  std::vector<Tray> trays;
  for (const int day : kDays) {
    trays.push_back(counted(photo_of(day)));
    if (!numbered_like(truth_of(day), trays.back())) trays.back() = half_turned(trays.back());
  }
  read_again(trays);
  std::vector<TrayOnDay> days;
  for (std::size_t at = 0; at < 4; ++at) days.push_back({static_cast<double>(kDays[at]), &trays[at]});
  const auto stories = cell_stories(days);
  std::vector<double> up(4);
  int right = 0;
  for (std::size_t cell = 0; cell < stories.size(); ++cell) {
    std::optional<std::size_t> first;
    for (std::size_t at = 4; at-- > 0;) {
      const int seedlings = truth_of(kDays[at])[cell]["seedlings"];
      up[at] += seedlings;
      if (seedlings > 0) first = at;
    }
    right += stories[cell].came_up == first;
  }
  const double truth = germination_times({128, {5, 6, 7, 9}, up}).t50_coolbear,
               found = germination_times(emergence_of(stories, days, 1)).t50_coolbear;
  MESSAGE("first day right in ", right, " of 128 cells; T50 ", found, ", truth ", truth);
  CHECK(right >= 122);                    // of 128: 95 of 100 are wanted
  CHECK(std::abs(found - truth) <= 0.3);  // 0.3 days are wanted
}
