// SPDX-License-Identifier: Apache-2.0
#include "vision/lying_across.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/like_trays.h"

namespace braird::vision {
namespace {

using Polygon = std::vector<cv::Point2f>;

/// Whether a place lies in an outline, or no farther beside it.
bool lies_in(cv::Point2d place, const Polygon& outline, double beside = 0) {
  return cv::pointPolygonTest(outline, cv::Point2f(place), true) > -beside;
}

Polygon outline_of(const Lattice& lattice) {
  const cv::Rect2d region = region_of(lattice);
  Polygon outline;
  for (const cv::Point2d& corner :
       {region.tl(), {region.br().x, region.y}, region.br(), {region.x, region.br().y}})
    outline.emplace_back(photo_point(lattice, corner));
  return outline;
}

/// The box around a region, in tray coordinates.
cv::Rect2d box_of(const Polygon& outline, const Lattice& lattice) {
  cv::Rect2d box;
  for (const cv::Point2f& corner : outline) {
    const cv::Point2d at = tray_from_photo(lattice, corner);
    const cv::Rect2d here(at, cv::Size2d(1e-9, 1e-9));
    box = box.empty() ? here : box | here;
  }
  return box;
}

/// From `begin` to `end`, pitches.
struct Span {
  double begin, end;

  double length() const { return end - begin; }
};

bool reach_alike(Span a, Span b, double aside) {
  return std::abs(a.begin - b.begin) < aside && std::abs(a.end - b.end) < aside;
}

/// A box's extent along a side's direction (0: the first row, then clockwise), or from it inwards.
Span along(const cv::Rect2d& box, int side) {
  return side % 2 == 0 ? Span{box.x, box.br().x} : Span{box.y, box.br().y};
}
Span across(const cv::Rect2d& box, int side) {
  return along(box, side + 1);
}

/// Whether a region lies beyond a tray's side, as wide as the tray there, but much longer or shorter. In
/// 1,100 painted photos, most of several trays, one whole tray had such a neighbour.
bool is_unlike_part(const cv::Rect2d& box, const cv::Rect2d& tray, int side) {
  constexpr double kAside = 0.4, kFarthest = 3.3, kUnlike = 1.3;
  const Span there = across(box, side), here = across(tray, side);
  const double beyond = std::max(there.begin - here.end, here.begin - there.end);
  return reach_alike(along(box, side), along(tray, side), kAside) && beyond > 0 && beyond < kFarthest &&
         std::abs(there.length() - here.length()) > kUnlike;
}

/// Whether a tray's own region goes on beyond a side by what is no tray of the same make, nor two; so did
/// one's.
bool leaves_unlike_part(const cv::Rect2d& box, const cv::Rect2d& tray, int side) {
  constexpr double kAside = 0.5, kRow = 0.7, kUnlike = 1;
  const Span there = across(box, side), here = across(tray, side);
  const double rest = side == 1 || side == 2 ? there.end - here.end : here.begin - there.begin;
  const double rows = here.length() + 2 * kRegionInset;
  return reach_alike(along(box, side), along(tray, side), kAside) && rest > kRow &&
         std::abs(rest - rows) > kUnlike && std::abs(rest - 2 * rows) > kUnlike;
}

double centre_at(const LatticeMaps& maps, cv::Point2d photo_place) {
  const cv::Point2d at = on_maps(photo_place, maps);
  const cv::Rect2d inside(0, 0, maps.centres.cols - 1, maps.centres.rows - 1);
  return inside.contains(at) ? maps.centres.at<float>(cv::Point(at)) : 0;
}

double mean_at_cells(const LatticeMaps& maps, const Lattice& lattice) {
  double sum = 0;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) sum += centre_at(maps, cell_centre(lattice, row, col));
  return sum / (lattice.rows * lattice.cols);
}

/// Where a cell along a side would stand in a row so many pitches beyond it.
cv::Point2d place_beyond(const Lattice& lattice, int side, int cell, double out) {
  if (side == 1) return tray_point(lattice, cell, lattice.cols - 1) + cv::Point2d(out, 0);
  if (side == 3) return tray_point(lattice, cell, 0) - cv::Point2d(out, 0);
  const double row = side == 0 ? -out : lattice.rows - 1 + out;
  return {cell + lattice.odd_row_shift * static_cast<int>(std::lround(std::abs(row)) % 2), row};
}

/// Whether the frame may cut what lies beyond a side as far as a box reaches.
bool may_be_cut(const cv::Rect2d& box, const Lattice& lattice, int side, const LatticeMaps& maps) {
  constexpr double kRim = 0.75;
  const cv::Point2d middle = (box.tl() + box.br()) / 2;
  const std::array<cv::Point2d, 4> ends{
      cv::Point2d(middle.x, box.y - kRim), cv::Point2d(box.br().x + kRim, middle.y),
      cv::Point2d(middle.x, box.br().y + kRim), cv::Point2d(box.x - kRim, middle.y)};
  return !maps.frame.contains(cv::Point(on_maps(photo_point(lattice, ends[side]), maps)));
}

/// How much cells show in a row beyond a side, outside all other places, of what the tray's own do.
struct RowsBeyond {
  double next, between, second;
};

RowsBeyond rows_beyond(const LatticeMaps& maps, const Lattice& lattice, int side,
                       const std::vector<Polygon>& others) {
  const int cells = rows_across(lattice, side % 2 == 0);
  const double whole = cells * std::max(mean_at_cells(maps, lattice), 1e-6);
  const double inset = kRegionInset * pitch_at(lattice, {lattice.cols / 2.0, lattice.rows / 2.0});
  const auto shown = [&](double out) {
    double sum = 0;
    for (int cell = 0; cell < cells; ++cell) {
      const cv::Point2d at = photo_point(lattice, place_beyond(lattice, side, cell, out));
      if (std::ranges::none_of(others, [&](const Polygon& other) { return lies_in(at, other, inset); }))
        sum += centre_at(maps, at);
    }
    return sum / whole;
  };
  return {shown(1), shown(1.25), std::max({shown(1.875), shown(2), shown(2.125)})};
}

/// Whether a row stands two pitches off, and none in between: a plain one, or a faint one where the photo
/// doesn't show the tray's end. No whole tray had such a neighbour, but beside staggered ones plain rows may
/// seem to stand so.
bool skips_a_row(const RowsBeyond& beyond, const Lattice& lattice, int side, const PhotoSenses& photo) {
  constexpr double kHidden = 0.35, kFaint = 0.25, kPlain = 0.55, kEnds = 0.5;
  if (std::max(beyond.next, beyond.between) > kHidden || beyond.second < kFaint) return false;
  return (lattice.odd_row_shift == 0 && beyond.second > kPlain) ||
         (photo.ends_of && photo.ends_of(lattice)[side] < kEnds);
}

bool has_rows(const RowsBeyond& beyond) {
  return std::min(beyond.next, beyond.second) > 0.5;
}

}  // namespace

bool may_go_on_across(const Lattice& lattice, const std::vector<Lattice>& all,
                      const std::vector<Looked>& looked, const LatticeMaps& maps, const PhotoSenses& photo) {
  std::vector<Polygon> others;
  std::vector<cv::Rect2d> own, open;
  for (const Lattice& other : all)
    if (const Polygon outline = outline_of(other); !lies_in(middle_cell(lattice), outline)) {
      others.push_back(outline);
      if (cells_alike(lattice, other)) open.push_back(box_of(outline, lattice));
    }
  for (const Looked& place : looked) {
    const auto holds = [&](const Lattice& tray) { return lies_in(middle_cell(tray), place.outline); };
    const bool is_own = holds(lattice);
    if (!is_own) others.push_back(place.outline);
    if (!place.cut && (is_own ? std::ranges::count_if(all, holds) == 1 : is_open(place)))
      (is_own ? own : open).push_back(box_of(place.outline, lattice));
  }
  const cv::Rect2d tray = region_of(lattice);
  return std::ranges::any_of(std::array{0, 1, 2, 3}, [&](int side) {
    if (std::ranges::any_of(open, [&](const cv::Rect2d& box) { return is_unlike_part(box, tray, side); }))
      return true;
    const RowsBeyond beyond = rows_beyond(maps, lattice, side, others);
    return skips_a_row(beyond, lattice, side, photo) ||
           (has_rows(beyond) && std::ranges::any_of(own, [&](const cv::Rect2d& box) {
              return leaves_unlike_part(box, tray, side) && !may_be_cut(box, lattice, side, maps);
            }));
  });
}

}  // namespace braird::vision
