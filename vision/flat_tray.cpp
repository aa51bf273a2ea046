// SPDX-License-Identifier: Apache-2.0
#include "vision/flat_tray.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/shrink.h"

namespace braird::vision {
namespace {

constexpr int kCoarse = 12;  // px between places that are computed; between them the map is as good as linear

cv::Size flat_size(const Lattice& lattice) {
  const int half = lattice.odd_row_shift == 0 ? 0 : kFlatCell / 2;
  return {kFlatCell * (lattice.cols + 1) + half, kFlatCell * (lattice.rows + 1)};
}

cv::Point2d tray_from_flat(const Lattice& lattice, double x, double y) {
  return {(x + 0.5) / kFlatCell - 1 + first_u(lattice), (y + 0.5) / kFlatCell - 1};
}

/// For each flat pixel the photo pixel it shows.
cv::Mat photo_places(const Lattice& lattice, cv::Size size) {
  cv::Mat coarse(size / kCoarse, CV_32FC2), dense;
  for (int y = 0; y < coarse.rows; ++y)
    for (int x = 0; x < coarse.cols; ++x)
      coarse.at<cv::Point2f>(y, x) =
          photo_point(lattice, tray_from_flat(lattice, (x + 0.5) * kCoarse - 0.5, (y + 0.5) * kCoarse - 0.5));
  cv::resize(coarse, dense, size, 0, 0, cv::INTER_LINEAR);
  return dense;
}

cv::Point2d unit(cv::Point2d v) {
  return v * (1 / cv::norm(v));
}

cv::Mat lean_vectors(const Lattice& lattice, cv::Size size) {
  cv::Mat lean(size / kFlatSide, CV_32FC2);
  for (int y = 0; y < lean.rows; ++y)
    for (int x = 0; x < lean.cols; ++x) {
      const cv::Point2d tray =
          tray_from_flat(lattice, (x + 0.5) * kFlatSide - 0.5, (y + 0.5) * kFlatSide - 0.5);
      const cv::Point2d at = photo_point(lattice, tray);
      const cv::Point2d off = (at - lattice.lens.middle) * (1 / lattice.lens.half_diagonal);
      const cv::Point2d right = unit(photo_point(lattice, tray + cv::Point2d(0.1, 0)) - at);
      const cv::Point2d down = unit(photo_point(lattice, tray + cv::Point2d(0, 0.1)) - at);
      lean.at<cv::Vec2f>(y, x) = cv::Vec2d(off.dot(right), off.dot(down));
    }
  return lean;
}

}  // namespace

FlatTray lay_flat(const cv::Mat& bgr, const Lattice& lattice) {
  const cv::Size size = flat_size(lattice);
  FlatTray flat;
  flat.lean = lean_vectors(lattice, size);
  const double pitch = pitch_at(lattice, {lattice.cols / 2.0, lattice.rows / 2.0});
  cv::Mat seen = bgr;
  Lattice on_seen = lattice;
  if (pitch > 1.5 * kFlatCell) {  // shrunk first, so that no photo pixel goes unseen
    const double scale = 1.15 * kFlatCell / pitch;
    seen = shrunk(bgr, scale);
    on_seen = scaled(lattice, scale);
  }
  cv::remap(seen, flat.bgr, photo_places(on_seen, size), {}, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  return flat;
}

}  // namespace braird::vision
