// SPDX-License-Identifier: Apache-2.0
#include "vision/plant_places.h"

#include "vision/flat_tray.h"
#include "vision/plants.h"

namespace braird::vision {
namespace {

constexpr int kFewestPixels = 9;  // of the flat tray: 1.5 mm square at a pitch of 25 mm
/// Leaves stand above the medium, so they are seen away from their foot, out from the photo's middle: by this
/// share of a cell for a lean of 1 (a plant as tall as a third of a cell, under a camera at arm's length).
constexpr double kLeanOfCell = 0.15;

struct Middle {
  cv::Point2d sum;
  int pixels = 0;
};

/// A pixel's own place in the tray, in cells, with the lean taken off.
cv::Point2d place_of(const FlatTray& flat, const Lattice& lattice, int x, int y) {
  const cv::Vec2f lean = lean_at(flat, {x, y});
  return {(x + 0.5) / flat.cell - 1 + first_u(lattice) - kLeanOfCell * lean[0],
          (y + 0.5) / flat.cell - 1 - kLeanOfCell * lean[1]};
}

void add_pixel(std::vector<Middle>& cells, const Lattice& lattice, cv::Point2d place) {
  const int row = cvRound(place.y);
  if (row < 0 || row >= lattice.rows) return;
  const double along = place.x - lattice.odd_row_shift * (row % 2);
  const int col = cvRound(along);
  if (col < 0 || col >= lattice.cols) return;
  Middle& cell = cells[cell_index(layout_of(lattice), row, col)];
  cell.sum += cv::Point2d(along - col, place.y - row);
  ++cell.pixels;
}

}  // namespace

std::vector<std::optional<cv::Point2d>> plant_places(const cv::Mat& bgr, const Lattice& lattice) {
  const FlatTray flat = lay_flat(bgr, lattice, kCoarseCell);
  const cv::Mat mask = plant_mask(flat.bgr);
  std::vector<Middle> cells(number_of_cells(layout_of(lattice)));
  for (int y = 0; y < mask.rows; ++y)
    for (int x = 0; x < mask.cols; ++x)
      if (mask.at<unsigned char>(y, x)) add_pixel(cells, lattice, place_of(flat, lattice, x, y));
  std::vector<std::optional<cv::Point2d>> places;
  places.reserve(cells.size());
  for (const Middle& cell : cells)
    places.push_back(cell.pixels < kFewestPixels ? std::nullopt : std::optional(cell.sum / cell.pixels));
  return places;
}

}  // namespace braird::vision
