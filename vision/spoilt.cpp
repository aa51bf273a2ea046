// SPDX-License-Identifier: Apache-2.0
#include "vision/spoilt.h"

#include <fmt/format.h>

#include "vision/colours.h"
#include "vision/green_cells.h"
#include "vision/screen_stripes.h"
#include "vision/smear.h"

namespace braird::vision {
namespace {

std::string why_spoilt(const cv::Mat& bgr, const Waves& light, Counted counted) {
  if (is_of_one_tone(bgr))
    return fmt::format(
        "the photo has no colours but one tone, and {} are told from the medium by theirs; take one in "
        "colour, in white light",
        name_of(counted));
  if (shows_screen_stripes(bgr, light))
    return fmt::format(
        "the photo was taken of a screen, whose coloured stripes pass for {}; give the file of the photo on "
        "that screen, or photograph the tray itself",
        name_of(counted));
  return "";
}

std::vector<std::string> remarks_on_taking(const cv::Mat& bgr, const Waves& light) {
  std::vector<std::string> remarks;
  if (is_in_purple_light(bgr))
    remarks.emplace_back(
        "the light is purple, as from a grow lamp, and shows green plants badly; switch the lamp off and "
        "photograph in white light");
  if (is_smeared(light))
    remarks.emplace_back(
        "the photo is smeared, as by a camera that moved, and its counts are not to be trusted; take it "
        "again in more light or with a steadier hand");
  return remarks;
}

}  // namespace

Taking how_taken(const cv::Mat& bgr, Counted counted) {
  const Waves light = waves_of_light(bgr);
  Taking taking{why_spoilt(bgr, light, counted), {}};
  if (taking.spoilt.empty()) taking.remarks = remarks_on_taking(bgr, light);
  return taking;
}

std::string remark_on_green(const cv::Mat& bgr, const Lattice& lattice) {
  // Of 60 painted trays without a film of algae at most 0.15 of the cells are so, with one 0.56 and more.
  constexpr double kMany = 0.5;
  const int cells = lattice.rows * lattice.cols, green = count_green_cells(bgr, lattice);
  if (green < kMany * cells) return "";
  return fmt::format(
      "{} of {} cells are green nearly all over: algae, moss or leaves that have closed pass for seedlings "
      "or hide them, so look at the tray before you trust its count",
      green, cells);
}

}  // namespace braird::vision
