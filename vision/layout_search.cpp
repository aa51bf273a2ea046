// SPDX-License-Identifier: Apache-2.0
// The centres, seen square-on, are a wave pattern: a square tray has C waves across and R down; a staggered
// one has R waves down and, across, waves of one pitch that swap sign from row to row. Each count is the wave
// number that answers loudest, with its phase known from the quad's sides.
#include "vision/layout_search.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <tuple>

namespace braird::vision {
namespace {

constexpr int kSide = 192;  // px of the squared-on map: 4 px a cell at 42 cells and more at fewer
constexpr std::size_t kKept = 12;
constexpr double kFaintest = 0.005;  // paper walls buried under topping answer at 0.02 and more

/// Column n: waves along a side on which n cells stand (the quad's ends cut a little off the first and last
/// of them), `rhythm` of them a cell, with a crest on the first; `more` cells' room stays free at the far
/// end.
cv::Mat waves(double rhythm, double more) {
  cv::Mat result(kSide, kMostCells + 1, CV_32F);
  for (int i = 0; i < kSide; ++i)
    for (int n = 0; n <= kMostCells; ++n) {
      const double cell = (i + 0.5) / kSide * (n + more - 2 * kRegionInset) + kRegionInset - 0.5;
      result.at<float>(i, n) = static_cast<float>(std::cos(2 * CV_PI * rhythm * cell));
    }
  return result;
}

struct Rhythms {
  cv::Mat down;     ///< 1 × n: answer to n rows
  cv::Mat across;   ///< 1 × n: answer to n columns in line
  cv::Mat swapped;  ///< rows × n: answer to n columns, odd rows shifted by +0.5 (negative: by -0.5)
};

Rhythms listen(const cv::Mat& seen) {
  cv::Mat flat = seen - cv::mean(seen)[0];
  const double scale = 1 / (cv::mean(seen)[0] * kSide * kSide + 1e-6);
  cv::Mat columns, rows;
  cv::reduce(flat, columns, 0, cv::REDUCE_SUM);
  cv::reduce(flat, rows, 1, cv::REDUCE_SUM);
  static const cv::Mat in_line = waves(1, 0), shifted = waves(1, 0.5), row_signs = waves(0.5, 0);
  return {rows.t() * in_line * scale, columns * in_line * scale, row_signs.t() * flat * shifted * scale};
}

void add_guesses(const TrayQuad& quad, const Rhythms& heard, int first_side,
                 std::vector<LayoutGuess>& guesses) {
  for (int r = kFewestCells; r <= kMostCells; ++r)
    for (int c = kFewestCells; c <= kMostCells; ++c) {
      const double down = heard.down.at<float>(r);
      if (first_side == 0) {
        const double score = std::min<double>(down, heard.across.at<float>(c));
        if (score > kFaintest) guesses.push_back({divide(quad, r, c, 0, first_side), first_side, score});
      }
      const double swap = heard.swapped.at<float>(r, c);
      const double score = std::min(down, 1.15 * std::abs(swap));
      if (score > kFaintest)
        guesses.push_back({divide(quad, r, c, swap > 0 ? 0.5 : -0.5, first_side), first_side, score});
    }
}

}  // namespace

Lattice divide(const TrayQuad& quad, int rows, int cols, double odd_row_shift, int first_side) {
  Lattice lattice;
  lattice.rows = rows;
  lattice.cols = cols;
  lattice.odd_row_shift = odd_row_shift;
  lattice.lens = quad.lens;
  const cv::Rect2f hull = region_of(lattice);
  const cv::Point2f wide(hull.width, 0), high(0, hull.height);
  const std::array<cv::Point2f, 4> from{hull.tl(), hull.tl() + wide, hull.br(), hull.tl() + high};
  std::array<cv::Point2f, 4> to;
  for (int i = 0; i < 4; ++i) to[i] = quad.corners[(i + first_side) % 4];
  lattice.photo_from_plane = cv::getPerspectiveTransform(from.data(), to.data());
  return lattice;
}

std::vector<LayoutGuess> neighbours(const TrayQuad& quad, const LayoutGuess& guess) {
  const auto [rows, cols, shift] =
      std::tuple(guess.lattice.rows, guess.lattice.cols, guess.lattice.odd_row_shift);
  std::vector<LayoutGuess> result;
  const auto add = [&](int r, int c, double odd_row_shift) {
    if (std::min(r, c) >= kFewestCells)
      result.push_back({divide(quad, r, c, odd_row_shift, guess.first_side), guess.first_side, 0});
  };
  for (const int step : {-1, 1}) {
    add(rows + step, cols, shift);
    add(rows, cols + step, shift);
    if (shift != 0) add(rows, cols + step, -shift);
  }
  if (shift != 0) add(rows, cols, -shift);
  return result;
}

std::vector<LayoutGuess> rank_layouts(const LatticeMaps& maps, const TrayQuad& quad) {
  const cv::Mat seen = square_on(maps.centres, quad, kSide);
  cv::Mat turned;
  cv::rotate(seen, turned, cv::ROTATE_90_COUNTERCLOCKWISE);  // the quad's second side comes to lie on top
  std::vector<LayoutGuess> guesses;
  add_guesses(quad, listen(seen), 0, guesses);
  add_guesses(quad, listen(turned), 1, guesses);
  const auto kept = std::min(kKept, guesses.size());
  std::partial_sort(guesses.begin(), guesses.begin() + static_cast<std::ptrdiff_t>(kept), guesses.end(),
                    [](const auto& a, const auto& b) { return a.score > b.score; });
  guesses.resize(kept);
  return guesses;
}

}  // namespace braird::vision
