// SPDX-License-Identifier: Apache-2.0
#include "vision/butted.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/lattice_choice.h"
#include "vision/lattice_trouble.h"
#include "vision/seams_within.h"
#include "vision/sight.h"

namespace braird::vision {
namespace {

// Least chance of a seam where trays of a stated size would meet, anywhere, in a lattice that is clear, and
// in one that is in the list of trays, of which no part is. (Where trays of one make seem to end, see
// seams_within.h.)
constexpr double kSeamAsStated = 0.1, kSeam = 0.5, kSeamIfClear = 0.6, kSeamIfListed = 0.9;
// Trays that touch are mostly of one make: in 450 painted photos, of 34 lines with 0.5 to 0.95 that leave
// whole ones of unlike size ten were seams, of 19 with more 15.
constexpr double kSeamOfUnlike = 0.95;

/// The layouts before and behind a seam.
std::array<Layout, 2> parts_at(const SeamWithin& seam, const Lattice& lattice) {
  std::array<Layout, 2> parts{layout_of(lattice), layout_of(lattice)};
  (seam.upright ? parts[0].cols : parts[0].rows) = seam.before;
  (seam.upright ? parts[1].cols : parts[1].rows) = rows_across(lattice, seam.upright) - seam.behind;
  return parts;
}

/// The least chance that a seam counts by.
double least_chance(const SeamWithin& seam, const Lattice& lattice, const Hints& hints,
                    const cv::Rect& frame) {
  const auto parts = parts_at(seam, lattice);
  if (hints.rows && hints.cols)
    return std::ranges::any_of(parts, [&](const Layout& part) { return is_as_stated(part, hints); })
               ? kSeamAsStated
               : 1;
  const auto listed = [&](const Layout& layout) { return is_listed(layout, hints.known_layouts); };
  if (listed(layout_of(lattice)) && std::ranges::none_of(parts, listed)) return kSeamIfListed;
  const bool of_one_make = leaves_one_make(seam, lattice);
  if (seam.ends > kEndsOfOneMake && of_one_make) return kSeamOfOneMake;
  if (!of_one_make && side_left(lattice, frame).empty()) return kSeamOfUnlike;
  return is_clear(lattice) ? kSeamIfClear : kSeam;
}

/// A row or two are a tray that the frame cuts, or none; where no end shows beside them, the seam must be
/// surer.
bool may_be_tray(const Lattice& seen, const SeamWithin& seam, int first, int count, const cv::Rect& frame) {
  constexpr double kNoEnd = 0.01, kSure = 0.9;  // chances; guesses
  if (count >= kFewestRows) return true;
  if (seam.before == seam.behind && seam.ends < kNoEnd && seam.chance < kSure) return false;
  const int from = first == 0 ? -1 : first;  // one more, since that may show in part
  return count > 0 && !side_left(part_of(seen, seam.upright, from, count + 1), frame).empty();
}

std::vector<ButtedTray> beside(const SeamWithin& seam, const Lattice& seen, const cv::Rect& frame) {
  const int all = rows_across(seen, seam.upright), rest = all - seam.behind;
  if (!may_be_tray(seen, seam, 0, seam.before, frame) || !may_be_tray(seen, seam, seam.behind, rest, frame))
    return {};
  const double chance = std::max(seam.chance, seam.ends);
  std::vector<ButtedTray> trays{
      {part_of(seen, seam.upright, 0, seam.before), seam.upright ? 1 : 2, chance},
      {part_of(seen, seam.upright, seam.behind, rest), seam.upright ? 3 : 0, chance}};
  for (ButtedTray& tray : trays) tray.cells.fit *= chance;
  return trays;
}

/// A place no farther from a map than the map is long: what lies towards a tray's horizon may be anywhere,
/// and OpenCV fills a polygon row by row however far it reaches. Not a number is taken for the low end.
cv::Point near_map(const cv::Point2d& place, const cv::Size& map) {
  const double reach = std::max(map.width, map.height);
  return {cvRound(std::fmin(std::fmax(place.x, -reach), map.width + reach)),
          cvRound(std::fmin(std::fmax(place.y, -reach), map.height + reach))};
}

/// White on a map of this size where a tray's part of it lies, so many cells within the line along its side
/// at the seam.
cv::Mat part_on_map(const LatticeMaps& maps, const ButtedTray& tray, double inset) {
  constexpr double kFar = 4;  // cells beyond its other sides
  constexpr int kSteps = 24;  // a side, since a lens bends it
  cv::Rect2d rect = hull_of(tray.cells);
  double left = rect.x - kFar, right = rect.br().x + kFar, top = rect.y - kFar, bottom = rect.br().y + kFar;
  switch (tray.side) {
    case 0:
      top = rect.y + inset;
      break;
    case 1:
      right = rect.br().x - inset;
      break;
    case 2:
      bottom = rect.br().y - inset;
      break;
    default:
      left = rect.x + inset;
  }
  const std::array<cv::Point2d, 4> corners{{{left, top}, {right, top}, {right, bottom}, {left, bottom}}};
  std::vector<cv::Point> outline;
  for (int side = 0; side < 4; ++side)
    for (int i = 0; i < kSteps; ++i) {
      const cv::Point2d at = corners[side] + (corners[(side + 1) % 4] - corners[side]) * (1.0 * i / kSteps);
      outline.push_back(near_map(on_maps(photo_point(tray.cells, at), maps), maps.region.size()));
    }
  cv::Mat shown = cv::Mat::zeros(maps.region.size(), CV_8U);
  cv::fillPoly(shown, std::vector{outline}, 255);
  return shown;
}

/// The photo's places where the line along a side begins and ends.
std::array<cv::Point2d, 2> ends_of_side(const Lattice& lattice, int side) {
  const cv::Rect2d hull = hull_of(lattice);
  const std::array<cv::Point2d, 4> corners{
      hull.tl(), {hull.br().x, hull.y}, hull.br(), {hull.x, hull.br().y}};
  return {photo_point(lattice, corners[side]), photo_point(lattice, corners[(side + 1) % 4])};
}

cv::Mat only(const cv::Mat& map, const cv::Mat& shown) {
  cv::Mat result = map.clone();
  result.setTo(0, ~shown);
  return result;
}

}  // namespace

Butted may_be_butted(const Lattice& seen, const Hints& hints) {
  if (hints.rows && hints.cols) return is_as_stated(layout_of(seen), hints) ? Butted::no : Butted::perhaps;
  if (!is_clear(seen) || !is_listed(layout_of(seen), hints.known_layouts)) return Butted::perhaps;
  for (const bool upright : {true, false})
    for (const int lost : {0, 1}) {
      const int whole = rows_across(seen, upright) - lost, before = whole / 2;
      if (whole % 2 == 0 &&
          is_listed(parts_at({upright, before, before + lost, 1}, seen)[0], hints.known_layouts))
        return Butted::hardly;
    }
  return Butted::no;
}

std::vector<SeamWithin> lines_of_listed(const Lattice& seen, const Hints& hints) {
  std::vector<SeamWithin> lines = lines_of_one_make(seen);
  std::erase_if(lines, [&](const SeamWithin& line) {
    return std::ranges::none_of(parts_at(line, seen),
                                [&](const Layout& part) { return is_listed(part, hints.known_layouts); });
  });
  return lines;
}

std::vector<ButtedTray> butted_trays(const Lattice& seen, const std::vector<SeamWithin>& seams,
                                     const Hints& hints, const cv::Rect& frame) {
  double most = 0;
  std::vector<ButtedTray> likeliest;
  for (const SeamWithin& seam : seams) {
    const double chance = std::max(seam.chance, seam.ends);
    if (seam.chance < least_chance(seam, seen, hints, frame) || chance <= most) continue;
    if (const auto trays = beside(seam, seen, frame); !trays.empty()) most = chance, likeliest = trays;
  }
  return likeliest;
}

bool ends_at_seam(const Lattice& lattice, int side, const ButtedTray& tray) {
  constexpr double kNear = 0.4;  // pitches
  const auto seam = ends_of_side(tray.cells, tray.side);
  const cv::Point2d from = seam[0], along = (seam[1] - from) / cv::norm(seam[1] - from);
  const auto corners = ends_of_side(lattice, side);
  const double near = kNear * pitch_at(tray.cells, {tray.cells.cols / 2.0, tray.cells.rows / 2.0});
  return std::ranges::all_of(corners,
                             [&](cv::Point2d at) { return std::abs(along.cross(at - from)) < near; });
}

LatticeMaps without_neighbour(const LatticeMaps& maps, const ButtedTray& tray) {
  constexpr double kCoreInset = 1;  // as in training
  LatticeMaps result = maps;
  result.region = only(maps.region, part_on_map(maps, tray, kRegionInset));
  result.core = only(maps.core, part_on_map(maps, tray, kCoreInset));
  result.centres = only(maps.centres, part_on_map(maps, tray, 0));
  return result;
}

}  // namespace braird::vision
