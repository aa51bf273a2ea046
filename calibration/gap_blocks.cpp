// SPDX-License-Identifier: Apache-2.0
#include "calibration/gap_blocks.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "calibration/multiple_tests.h"

namespace braird {
namespace {

// Sums over all cells above and left of a corner make any block's sums four readings.
class BlockSums {
 public:
  explicit BlockSums(const GapMap& gaps) : gaps_(gaps), sums_(number_of_cells(beyond(gaps.layout))) {
    const Layout& layout = gaps.layout;
    for (int row = 0; row < layout.rows; ++row)
      for (int col = 0; col < layout.cols; ++col) {
        const int label = gaps.at(row, col);
        Sum& sum = sums_[index(row + 1, col + 1)];
        const Sum &above = sums_[index(row, col + 1)], &left = sums_[index(row + 1, col)],
                  &both = sums_[index(row, col)];
        sum.cells = above.cells + left.cells - both.cells + (label >= 0);
        sum.empty = above.empty + left.empty - both.empty + (label > 0);
      }
  }

  Part part(const Block& of) const {
    const Sum &all = sums_[index(of.bottom, of.right)], &above = sums_[index(of.top, of.right)],
              &left = sums_[index(of.bottom, of.left)], &both = sums_[index(of.top, of.left)];
    return {gaps_.cells, gaps_.empty, all.cells - above.cells - left.cells + both.cells,
            all.empty - above.empty - left.empty + both.empty};
  }

 private:
  struct Sum {
    int cells = 0, empty = 0;
  };
  static Layout beyond(const Layout& layout) { return {layout.rows + 1, layout.cols + 1}; }
  std::size_t index(int row, int col) const { return cell_index(beyond(gaps_.layout), row, col); }

  const GapMap& gaps_;
  std::vector<Sum> sums_;
};

// ln of the chance of these very gaps, over all gap rates.
double log_chance(int empty, int cells) {
  return std::lgamma(empty + 1.) + std::lgamma(cells - empty + 1.) - std::lgamma(cells + 2.);
}

double log_chance_with(const Part& place) {
  return log_chance(place.part_empty, place.part_cells) +
         log_chance(place.empty - place.part_empty, place.cells - place.part_cells);
}

// The mean of the chances of a story's places, as ln.
class Story {
 public:
  void add(const Part& place) {
    const double log = log_chance_with(place);
    if (log > highest_) sum_ *= std::exp(highest_ - log), highest_ = log;
    sum_ += std::exp(log - highest_);
    ++places_;
  }
  double log_mean() const {
    return places_ > 0 ? highest_ + std::log(sum_ / places_) : -std::numeric_limits<double>::infinity();
  }

 private:
  double highest_ = -1e300, sum_ = 0;
  int places_ = 0;
};

double of_lines(const BlockSums& sums, const Layout& layout) {
  Story lines;
  for (int row = 0; row < layout.rows; ++row) lines.add(sums.part({row, row + 1, 0, layout.cols}));
  for (int col = 0; col < layout.cols; ++col) lines.add(sums.part({0, layout.rows, col, col + 1}));
  return lines.log_mean();
}

// All blocks that share a cell with `crossed`. Beside cells set aside some are a piece of a line: left out.
template <typename Take>
void each_block(const BlockSums& sums, const Layout& layout, const Block& crossed, Take take) {
  for (int top = 0; top < crossed.bottom; ++top)
    for (int bottom = std::max(top + 2, crossed.top + 1); bottom <= layout.rows; ++bottom)
      for (int left = 0; left < crossed.right && bottom - top < layout.rows; ++left)
        for (int right = std::max(left + 2, crossed.left + 1); right <= layout.cols; ++right)
          if (right - left < layout.cols) {
            const Block block{top, bottom, left, right};
            const Part part = sums.part(block);
            if (part.part_cells > std::max(bottom - top, right - left)) take(block, part);
          }
}

double of_blocks(const BlockSums& sums, const Layout& layout, const Block& crossed) {
  Story blocks;
  each_block(sums, layout, crossed, [&](const Block&, const Part& part) { blocks.add(part); });
  return blocks.log_mean();
}

// The middle's rate and that of all else.
double of_edge(const BlockSums& sums, const Layout& layout) {
  return log_chance_with(sums.part({1, std::max(1, layout.rows - 1), 1, std::max(1, layout.cols - 1)}));
}

bool is_poorer(const Part& part) {
  return static_cast<double>(part.part_empty) * part.cells >
         static_cast<double>(part.empty) * part.part_cells;
}

}  // namespace

bool lies_in_more(const GapMap& gaps, const std::vector<int>& line) {
  const Layout& layout = gaps.layout;
  const BlockSums sums(gaps);
  const auto [first, last] = std::ranges::minmax(line);
  const bool is_row = first / layout.cols == last / layout.cols && line.size() > 1;
  const int row = first / layout.cols, col = first % layout.cols;
  const Block crossed = is_row ? Block{row, row + 1, 0, layout.cols} : Block{0, layout.rows, col, col + 1};
  const double as_line = of_lines(sums, layout);
  const bool outermost = is_row ? row == 0 || row == layout.rows - 1 : col == 0 || col == layout.cols - 1;
  return of_blocks(sums, layout, crossed) > as_line || (outermost && of_edge(sums, layout) > as_line);
}

std::optional<Block> poorest_block(const GapMap& gaps) {
  const Layout& layout = gaps.layout;
  const BlockSums sums(gaps);
  std::optional<Block> poorest;
  double likeliest = 0;
  each_block(sums, layout, {0, layout.rows, 0, layout.cols}, [&](const Block& block, const Part& part) {
    if (!is_poorer(part)) return;
    const double log = log_chance_with(part);
    if (!poorest || log > likeliest) poorest = block, likeliest = log;
  });
  return poorest;
}

}  // namespace braird
