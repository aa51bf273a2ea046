// SPDX-License-Identifier: Apache-2.0
#include "vision/litter.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/flat_tray.h"

namespace braird::vision {
namespace {

constexpr int kHalf = 17;            // px from a cell's middle that are compared
constexpr int kFarthestApart = 8;    // px by which all cells of two photos may be apart
constexpr int kSlack = 2;            // and each from the others
constexpr int kCells = 130;          // are looked up in the other photo
constexpr double kAround = 3.3;      // cells: how far those lie that a cell is told from
constexpr double kUnlikeMean = 1.0;  // of z

cv::Mat fine_structure(const cv::Mat& bgr) {
  cv::Mat grey, coarse, fine, power;
  cv::cvtColor(bgr, grey, cv::COLOR_BGR2GRAY);
  grey.convertTo(grey, CV_32F);
  cv::log(grey + 8, grey);
  cv::GaussianBlur(grey, coarse, {}, 3.5);
  cv::GaussianBlur(grey - coarse, fine, {}, 0.8);
  cv::GaussianBlur(fine.mul(fine), power, {}, 10);
  cv::sqrt(power, power);
  cv::Mat even = fine / (power + 0.01);
  return cv::max(cv::min(even, 2.5), -2.5);
}

Litter half_turned(const Litter& litter) {
  Litter turned;
  cv::rotate(litter.map, turned.map, cv::ROTATE_180);
  for (auto cell = litter.cells.rbegin(); cell != litter.cells.rend(); ++cell)
    turned.cells.emplace_back(litter.map.cols - cell->x, litter.map.rows - cell->y);
  return turned;
}

/// What lies within `half` px of a place.
cv::Mat around(const Litter& litter, cv::Point at, int half) {
  return litter.map(cv::Rect(at.x - half, at.y - half, 2 * half, 2 * half));
}

/// The same as one row of length 1 about 0, so that two of them multiply to their correlation.
cv::Mat unit_patch(const Litter& litter, cv::Point at) {
  cv::Mat patch = around(litter, at, kHalf) - cv::mean(around(litter, at, kHalf))[0];
  patch /= cv::norm(patch) + 1e-6;
  return patch.reshape(1, 1);
}

/// Evenly chosen cells, not more than there is time for.
std::vector<std::size_t> some_of(std::size_t cells) {
  const std::size_t step = (cells + kCells - 1) / kCells;
  std::vector<std::size_t> chosen;
  for (std::size_t at = 0; at < cells; at += step) chosen.push_back(at);
  return chosen;
}

/// How far the other photo's cells lie from where the first has them: where cells are like themselves and not
/// like the next ones.
cv::Point common_shift(const Litter& one, const Litter& other) {
  const std::size_t count = one.cells.size();
  cv::Mat sum = cv::Mat::zeros(2 * kFarthestApart + 1, 2 * kFarthestApart + 1, CV_32F), likeness;
  for (const std::size_t at : some_of(count))
    for (const auto& [cell, weight] :
         {std::pair(at, 1.0), {(at + 1) % count, -0.5}, {(at + count - 1) % count, -0.5}}) {
      cv::matchTemplate(around(other, other.cells[cell], kHalf + kFarthestApart),
                        around(one, one.cells[at], kHalf), likeness, cv::TM_CCOEFF_NORMED);
      cv::scaleAdd(likeness, weight, sum, sum);
    }
  cv::GaussianBlur(sum, sum, {}, 1.2);
  cv::Point best;
  cv::minMaxLoc(sum, nullptr, nullptr, nullptr, &best);
  return best - cv::Point(kFarthestApart, kFarthestApart);
}

/// A cell of one photo, and the cells of the other that it is compared with: itself first.
struct Compared {
  cv::Mat patch;
  std::vector<std::size_t> with;
  std::vector<double> likeness;
};

std::vector<Compared> compared_cells(const Litter& one, const Litter& other) {
  std::vector<Compared> cells;
  for (const std::size_t at : some_of(one.cells.size())) {
    Compared cell{unit_patch(one, one.cells[at]), {at}, {}};
    for (std::size_t next = 0; next < other.cells.size(); ++next)
      if (next != at && cv::norm(other.cells[next] - other.cells[at]) < kAround * kCoarseCell)
        cell.with.push_back(next);
    cell.likeness.assign(cell.with.size(), -1);
    cells.push_back(std::move(cell));
  }
  return cells;
}

/// How far the mean rank of the right cell stands above chance, in its standard deviations.
double rank_of_right_cells(const std::vector<Compared>& cells) {
  double sum = 0;
  for (const Compared& cell : cells) {
    const auto beaten = std::count_if(cell.likeness.begin() + 1, cell.likeness.end(),
                                      [&](double other) { return other < cell.likeness[0]; });
    sum += static_cast<double>(beaten) / static_cast<double>(cell.likeness.size() - 1) - 0.5;
  }
  return sum * std::sqrt(12.0 / static_cast<double>(cells.size()));
}

double nats(const Litter& one, const Litter& other) {
  const cv::Point shift = common_shift(one, other);
  std::vector<Compared> cells = compared_cells(one, other);
  for (int dy = -kSlack; dy <= kSlack; ++dy)
    for (int dx = -kSlack; dx <= kSlack; ++dx) {
      std::vector<cv::Mat> patches;
      for (const cv::Point& at : other.cells)
        patches.push_back(unit_patch(other, at + shift + cv::Point(dx, dy)));
      for (Compared& cell : cells)
        for (std::size_t k = 0; k < cell.with.size(); ++k)
          cell.likeness[k] = std::max(cell.likeness[k], cell.patch.dot(patches[cell.with[k]]));
    }
  const double over = std::max(0.0, rank_of_right_cells(cells) - kUnlikeMean);
  return over * over / 2;
}

}  // namespace

Litter litter_of(const TrayInPhoto& seen) {
  const Lattice lattice = lattice_through(seen);
  const FlatTray flat = lay_flat(seen.photo.bgr, lattice, kCoarseCell);
  Litter litter{fine_structure(flat.bgr), {}};
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col)
      litter.cells.push_back(flat_middle(lattice, row, col, kCoarseCell));
  return litter;
}

LitterMatch match_litter(const Litter& one, const Litter& other) {
  return {nats(one, other), nats(one, half_turned(other))};
}

}  // namespace braird::vision
