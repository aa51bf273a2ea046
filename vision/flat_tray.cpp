// SPDX-License-Identifier: Apache-2.0
#include "vision/flat_tray.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "vision/shrink.h"

namespace braird::vision {
namespace {

constexpr int leans_per_cell(int cell) {
  return cell % 12 == 0 ? 6 : 4;
}

constexpr int kPlacesPerCell = 4;  // that are computed; between them the map is as good as linear

cv::Size flat_size(const Lattice& lattice, int cell) {
  const int half = lattice.odd_row_shift == 0 ? 0 : cell / 2;
  return {cell * (lattice.cols + 1) + half, cell * (lattice.rows + 1)};
}

/// The tray's places (u, v) at the middles of squares of `every` px, row by row.
template <typename Visit>
void for_places(const Lattice& lattice, cv::Mat& out, int cell, int every, Visit visit) {
  for (int y = 0; y < out.rows; ++y)
    for (int x = 0; x < out.cols; ++x)
      out.at<cv::Vec2f>(y, x) =
          visit(cv::Point2d((x + 0.5) * every / cell - 1 + first_u(lattice), (y + 0.5) * every / cell - 1));
}

/// The photo pixels that flat pixels show, for every flat column but only one in `every` rows: those at their
/// middles.
cv::Mat photo_places(const Lattice& lattice, cv::Size size, int cell, int every) {
  cv::Mat coarse(size / every, CV_32FC2), wide;
  for_places(lattice, coarse, cell, every, [&](cv::Point2d tray) {
    const cv::Point2d at = photo_point(lattice, tray);
    return cv::Vec2f(static_cast<float>(at.x), static_cast<float>(at.y));
  });
  cv::resize(coarse, wide, {size.width, coarse.rows}, 0, 0, cv::INTER_LINEAR);
  return wide;
}

/// The photo seen at the lattice's places. A row of cells after another, since where each pixel is to be
/// found takes more room than the picture.
cv::Mat looked_up(const cv::Mat& bgr, const Lattice& lattice, cv::Size size, int cell) {
  const int every = cell / kPlacesPerCell;
  const cv::Mat places = photo_places(lattice, size, cell, every);
  cv::Mat result(size, bgr.type()), band;
  for (int top = 0; top < size.height; top += cell) {
    const cv::Range rows(top, std::min(size.height, top + cell));
    band.create(rows.size(), size.width, places.type());
    for (int y = rows.start; y < rows.end; ++y) {
      const double at = std::clamp((y + 0.5) / every - 0.5, 0.0, places.rows - 1.0);
      const int above = std::min(static_cast<int>(at), places.rows - 2);
      const auto share = static_cast<float>(at - above);
      const float *one = places.ptr<float>(above), *next = places.ptr<float>(above + 1);
      float* to = band.ptr<float>(y - rows.start);
      for (int i = 0; i < 2 * size.width; ++i) to[i] = one[i] + share * (next[i] - one[i]);
    }
    cv::remap(bgr, result.rowRange(rows), band, {}, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  }
  return result;
}

cv::Point2d unit(cv::Point2d v) {
  return v * (1 / cv::norm(v));
}

cv::Mat lean_vectors(const Lattice& lattice, cv::Size size, int cell) {
  constexpr int kComputedPerCell = 2;
  const int every = cell / kComputedPerCell;
  cv::Mat coarse(size / every, CV_32FC2), lean;
  for_places(lattice, coarse, cell, every, [&](cv::Point2d tray) {
    const cv::Point2d at = photo_point(lattice, tray);
    const cv::Point2d off = (at - lattice.lens.middle) * (1 / lattice.lens.half_diagonal);
    const cv::Point2d right = unit(photo_point(lattice, tray + cv::Point2d(0.1, 0)) - at);
    const cv::Point2d down = unit(photo_point(lattice, tray + cv::Point2d(0, 0.1)) - at);
    return cv::Vec2f(static_cast<float>(off.dot(right)), static_cast<float>(off.dot(down)));
  });
  cv::resize(coarse, lean, size / (cell / leans_per_cell(cell)), 0, 0, cv::INTER_LINEAR);
  return lean;
}

}  // namespace

FlatTray lay_flat(const cv::Mat& bgr, const Lattice& lattice, int cell) {
  const cv::Size size = flat_size(lattice, cell);
  FlatTray flat;
  flat.cell = cell;
  flat.lean = lean_vectors(lattice, size, cell);
  const double pitch = pitch_at(lattice, {lattice.cols / 2.0, lattice.rows / 2.0});
  cv::Mat seen = bgr;
  Lattice on_seen = lattice;
  if (pitch > 1.5 * cell) {  // shrunk first, so that no photo pixel goes unseen
    const double scale = 1.15 * cell / pitch;
    seen = shrunk(bgr, scale);
    on_seen = scaled(lattice, scale);
  }
  flat.bgr = looked_up(seen, on_seen, size, cell);
  return flat;
}

cv::Point flat_middle(const Lattice& lattice, int row, int col, int cell) {
  const cv::Point2d at = tray_point(lattice, row, col) - cv::Point2d(first_u(lattice), 0);
  return {cvRound(cell * (at.x + 1)), cvRound(cell * (at.y + 1))};
}

cv::Vec2f lean_at(const FlatTray& flat, cv::Point px) {
  const int every = flat.cell / leans_per_cell(flat.cell);
  return flat.lean.at<cv::Vec2f>(std::clamp(px.y / every, 0, flat.lean.rows - 1),
                                 std::clamp(px.x / every, 0, flat.lean.cols - 1));
}

}  // namespace braird::vision
