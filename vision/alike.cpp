// SPDX-License-Identifier: Apache-2.0
#include "vision/alike.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace braird::vision {
namespace {

constexpr int kMostLines = 6;  // rows and columns in the middle

/// What is as large as seeds and holes: neither grain nor light and shade.
cv::Mat details_of(const cv::Mat& bgr, int cell) {
  const double grain = cell / 32.0, shade = cell / 10.0;
  cv::Mat grey, fine, coarse;
  cv::cvtColor(bgr, grey, cv::COLOR_BGR2GRAY);
  grey.convertTo(grey, CV_32F);
  cv::GaussianBlur(grey, fine, {}, grain);
  cv::GaussianBlur(grey, coarse, {}, shade);
  return fine - coarse;
}

cv::Range in_the_middle(int all) {
  const int kept = std::min(all, kMostLines), first = (all - kept) / 2;
  return {first, first + kept};
}

double correlation(const cv::Mat& one, const cv::Mat& other) {
  const cv::Mat a = one - cv::mean(one)[0], b = other - cv::mean(other)[0];
  return a.dot(b) / std::max(1e-6, cv::norm(a) * cv::norm(b));
}

}  // namespace

Lattice middle_of(Lattice lattice) {
  for (const bool upright : {false, true}) {
    const cv::Range kept = in_the_middle(rows_across(lattice, upright));
    lattice = part_of(lattice, upright, kept.start, kept.size());
  }
  return lattice;
}

double alikeness(const FlatTray& flat, const Lattice& lattice) {
  const cv::Range rows = in_the_middle(lattice.rows), cols = in_the_middle(lattice.cols);
  const int cell = flat.cell / 2, inner = cell / 3;  // half the size does
  const cv::Rect whole({}, flat.bgr.size());
  const cv::Rect part = whole & cv::Rect(flat.cell * cols.start, flat.cell * rows.start,
                                         flat.cell * (cols.size() + 2), flat.cell * (rows.size() + 1));
  cv::Mat half;
  cv::resize(flat.bgr(part), half, {}, 0.5, 0.5, cv::INTER_AREA);
  const cv::Mat details = details_of(half, cell);
  const auto inside = [&](int row, int col) {
    const cv::Point middle = (flat_middle(lattice, row, col, flat.cell) - part.tl()) / 2;
    return details(cv::Rect(middle - cv::Point(inner, inner), cv::Size(2 * inner, 2 * inner)));
  };
  double sum = 0;
  for (int row = rows.start; row < rows.end; ++row)
    for (int col = cols.start + 1; col < cols.end; ++col)
      sum += correlation(inside(row, col - 1), inside(row, col));
  return sum / std::max(1, rows.size() * (cols.size() - 1));
}

}  // namespace braird::vision
