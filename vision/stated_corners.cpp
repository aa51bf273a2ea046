// SPDX-License-Identifier: Apache-2.0
#include "vision/stated_corners.h"

#include <fmt/format.h>

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <stdexcept>
#include <utility>

#include "vision/closer.h"
#include "vision/lattice_refine.h"
#include "vision/met_from_corners.h"

namespace braird::vision {
namespace {

// Of 149 painted trays through their own corners, up to a sixth of a pitch off, 24 had more, nearly all such
// that no one sees their cells; through corners of another shape all had, or were torn.
constexpr double kMostAstray = 0.1;

constexpr double kLeastMet = 0.5;  // of the cells are shown where the lattice is bent by them
constexpr double kMostOff = 0.3;   // pitches that its corners may lie from the stated ones
constexpr double kTorn = 0.5;      // fit, by feel
constexpr double kTooVague = 0.3;  // share of cells astray even so

/// Corner cells named from another one than the first row's first make cells of another shape.
void require_square_cells(const std::array<cv::Point2f, 4>& corners, int last_row, int last_col) {
  constexpr double kMost = 2;  // times as long as wide, also aslant
  const double across = (cv::norm(corners[1] - corners[0]) + cv::norm(corners[2] - corners[3])) / last_col,
               down = (cv::norm(corners[3] - corners[0]) + cv::norm(corners[2] - corners[1])) / last_row;
  const double length = std::max(across / down, down / across);
  if (length > kMost)
    throw std::invalid_argument(
        fmt::format("cells would be {:.1f} times as long as wide; begin with the first row's first cell and "
                    "see whether rows and columns are the right way round",
                    length));
}

/// The map of centres near a place of the photo, 0 where that is off the map.
float shown_at(const LatticeMaps& maps, cv::Point2d photo_place) {
  const cv::Point at(on_maps(photo_place, maps));
  return at.inside({{0, 0}, maps.centres.size()}) ? maps.centres.at<float>(at) : 0;
}

/// How much the map of centres shows where the cells are.
double shown_at_cells(const LatticeMaps& maps, const Lattice& lattice) {
  double sum = 0;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) sum += shown_at(maps, cell_centre(lattice, row, col));
  return sum;
}

/// The share of cells beside which, half a cell off, the map shows a cell's centre more plainly than in their
/// own; of all, so that where the map shows nothing none is.
double share_astray(const LatticeMaps& maps, const Lattice& lattice) {
  constexpr float kPlain = 0.3F;
  int astray = 0;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) {
      const cv::Point2d own = tray_point(lattice, row, col);
      float beside = 0;
      for (const cv::Point2d& step : {cv::Point2d{0.5, 0}, {-0.5, 0}, {0, 0.5}, {0, -0.5}})
        beside = std::max(beside, shown_at(maps, photo_point(lattice, own + step)));
      astray += beside > kPlain && beside > shown_at(maps, photo_point(lattice, own));
    }
  return 1.0 * astray / (lattice.rows * lattice.cols);
}

/// How far a lattice's corner cells lie from the stated ones, in pitches; the worst.
double off_corners(const Lattice& lattice, const Hints& hints) {
  const auto corners = corner_centres(lattice);
  const double pitch = pitch_at(lattice, {lattice.cols / 2.0, lattice.rows / 2.0});
  double worst = 0;
  for (int i = 0; i < 4; ++i) {
    const Point& stated = (*hints.corners)[i];
    worst = std::max(worst, cv::norm(corners[i] - cv::Point2d(stated.x, stated.y)) / pitch);
  }
  return worst;
}

/// Where its cells are, for all that photo and corners tell.
struct Laid {
  Lattice lattice;
  bool torn = false;   ///< the photo shows other cells than the told shape has
  bool shown = false;  ///< it shows where most of its cells are
};

/// The stated lattice bent as the maps show its cells, if they show most of them and it keeps to the corners.
Laid bent_as_shown(const Lattice& lattice, const LatticeMaps& maps, const Hints& hints) {
  if (std::min(lattice.rows, lattice.cols) < kFewestRows) return {lattice};
  const Lattice stated = on_maps(lattice, maps);
  const auto [met, torn] = meet_from_corners(maps, stated);
  if (static_cast<double>(met.size()) < kLeastMet * stated.rows * stated.cols) return {lattice};
  if (torn) return {lattice, true, true};
  const Lattice bent = in_photo(follow_creep(met, lay_through(met, stated)), maps);
  if (off_corners(bent, hints) > kMostOff || share_astray(maps, bent) > kTooVague) return {lattice};
  return {bent, false, true};
}

/// Corners don't tell to which side the second row is shifted: the way that isn't torn, or shows more cells.
Laid laid(cv::Size photo, const LatticeMaps& maps, const Hints& hints) {
  std::vector<Laid> ways;
  for (const double shift : {0.5, -0.5}) {
    Lattice lattice = lattice_from_corners(hints, shift);
    lattice.lens = straight_lens(photo);  // with the frame's middle, from which plants lean away
    ways.push_back(bent_as_shown(lattice, maps, hints));
    if (lattice.odd_row_shift == 0) break;
  }
  return *std::ranges::max_element(
      ways, {}, [&](const Laid& way) { return std::pair(!way.torn, shown_at_cells(maps, way.lattice)); });
}

}  // namespace

bool is_laid_by_hand(const Hints& hints) {
  return hints.corners && hints.rows && hints.cols;
}

LatticeSearch laid_by_hand(const cv::Mat& bgr, const LatticeMaps& maps, const Hints& hints,
                           const Trace& trace) {
  const cv::Rect2d frame(0, 0, bgr.cols, bgr.rows);
  if (!std::ranges::all_of(*hints.corners, [&](Point at) { return frame.contains({at.x, at.y}); }))
    return {
        {}, "a stated corner lies outside the photo; give the corner cells in this photo's own pixels", {}};
  const Lattice even = lattice_from_corners(hints);
  const cv::Rect2d hull = hull_of(even);
  std::vector<cv::Point2f> outline;
  for (const cv::Point2d at :
       {hull.tl(), cv::Point2d(hull.br().x, hull.y), hull.br(), cv::Point2d(hull.x, hull.br().y)})
    outline.emplace_back(photo_point(even, at));
  const auto closer = closer_look(bgr, maps, outline, kBeside, trace);
  const LatticeMaps& seen = closer ? *closer : maps;
  const auto [lattice, torn, shown] = laid(bgr.size(), seen, hints);
  LatticeSearch search{{lattice}, "", {"the cells were laid through the stated corners"}};
  if (!hints.lattice) search.remarks[0] += " in square rows; if they are staggered, say --lattice staggered";
  const double astray = share_astray(seen, lattice);
  if (torn || astray > kMostAstray) {
    search.lattices[0].fit = torn ? std::min(kTorn, 1 - astray) : 1 - astray;
    search.remarks.push_back(
        "the photo shows cells elsewhere than the stated corners and layout lay them; look at the "
        "marked photo, and correct --corners or --tray");
  } else if (!shown) {
    search.remarks.emplace_back(
        "the photo shows too little of the cells between the corners, so they lie on straight lines; look at "
        "the marked photo");
  }
  return search;
}

Lattice lattice_from_corners(const Hints& hints, double odd_row_shift) {
  Lattice lattice;
  lattice.rows = *hints.rows;
  lattice.cols = *hints.cols;
  lattice.odd_row_shift = hints.lattice == LatticeKind::staggered ? odd_row_shift : 0;
  lattice.fit = 1;
  const int last_row = lattice.rows - 1, last_col = lattice.cols - 1;
  std::array<cv::Point2f, 4> from{tray_point(lattice, 0, 0), tray_point(lattice, 0, last_col),
                                  tray_point(lattice, last_row, last_col), tray_point(lattice, last_row, 0)};
  std::array<cv::Point2f, 4> to;
  for (int i = 0; i < 4; ++i)
    to[i] = {static_cast<float>((*hints.corners)[i].x), static_cast<float>((*hints.corners)[i].y)};
  for (int i = 0; i < 4; ++i)
    if (!((to[(i + 1) % 4] - to[i]).cross(to[(i + 2) % 4] - to[(i + 1) % 4]) > 0))
      throw std::invalid_argument(
          "the corners must go clockwise: first row's first and last cell, last row's last and first");
  require_square_cells(to, last_row, last_col);
  lattice.photo_from_plane = cv::getPerspectiveTransform(from.data(), to.data());
  return lattice;
}

}  // namespace braird::vision
