// SPDX-License-Identifier: Apache-2.0
#include "vision/glance.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "vision/flat_tray.h"
#include "vision/looks.h"
#include "vision/net/networks.h"

namespace braird::vision {
namespace {

/// So many of its rows and columns, if there are more, about the middle.
Lattice middle_of(Lattice lattice) {
  constexpr int kMost = 6;
  for (const bool upright : {false, true}) {
    const int all = upright ? lattice.cols : lattice.rows, kept = std::min(all, kMost);
    lattice = part_of(lattice, upright, (all - kept) / 2, kept);
  }
  return lattice;
}

/// What is as large as seeds and holes: neither grain nor light and shade.
cv::Mat details_of(const FlatTray& flat) {
  const double grain = flat.cell / 32.0, shade = flat.cell / 10.0;
  cv::Mat grey, fine, coarse;
  cv::cvtColor(flat.bgr, grey, cv::COLOR_BGR2GRAY);
  grey.convertTo(grey, CV_32F);
  cv::GaussianBlur(grey, fine, {}, grain);
  cv::GaussianBlur(grey, coarse, {}, shade);
  return fine - coarse;
}

/// The mean correlation of cells with the next one in their row, without their walls.
double alikeness(const FlatTray& flat, const Lattice& lattice) {
  const cv::Mat details = details_of(flat);
  const int half = flat.cell / 3;
  const auto inside = [&](int row, int col) {
    const cv::Point middle = flat_middle(lattice, row, col, flat.cell);
    return details(cv::Rect(middle - cv::Point(half, half), cv::Size(2 * half, 2 * half)));
  };
  double sum = 0;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 1; col < lattice.cols; ++col) {
      cv::Mat likeness;
      cv::matchTemplate(inside(row, col - 1), inside(row, col), likeness, cv::TM_CCOEFF_NORMED);
      sum += likeness.at<float>(0, 0);
    }
  return sum / std::max(1, lattice.rows * (lattice.cols - 1));
}

}  // namespace

Glance glance_at(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints) {
  const Lattice middle = middle_of(lattice);
  const FlatTray flat = lay_flat(bgr, middle, kCountedCell);
  const cv::Mat seen = count_chances(Model::counts, flat.bgr, sides(flat.lean, hints), 1);
  return {chances_of_cells(seen, middle), alikeness(flat, middle)};
}

}  // namespace braird::vision
