// SPDX-License-Identifier: Apache-2.0
#include "calibration/gap_blocks.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "calibration/multiple_tests.h"

namespace braird {
namespace {

// Sums over all cells above and left of a corner make any block's sums four readings.
class BlockSums {
 public:
  explicit BlockSums(const GapMap& gaps)
      : gaps_(gaps), sums_(number_of_cells(beyond(gaps.layout))), log_factorials_(gaps.labels.size() + 2) {
    for (std::size_t n = 2; n < log_factorials_.size(); ++n)
      log_factorials_[n] = log_factorials_[n - 1] + std::log(static_cast<double>(n));
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

  // ln of the chance of these very gaps, over all gap rates within the part and without.
  double log_chance(const Part& part) const {
    return log_chance(part.part_empty, part.part_cells) +
           log_chance(part.empty - part.part_empty, part.cells - part.part_cells);
  }

  // The same where a line has a rate of its own, and a block beside or around it another.
  double log_chance(const Part& line, const Part& block, const Part& shared) const {
    const int cells = block.part_cells - shared.part_cells, empty = block.part_empty - shared.part_empty;
    return log_chance(line.part_empty, line.part_cells) + log_chance(empty, cells) +
           log_chance(line.empty - line.part_empty - empty, line.cells - line.part_cells - cells);
  }

 private:
  double log_chance(int empty, int cells) const {
    return log_factorial(empty) + log_factorial(cells - empty) - log_factorial(cells + 1);
  }
  double log_factorial(int n) const { return log_factorials_[static_cast<std::size_t>(n)]; }

  struct Sum {
    int cells = 0, empty = 0;
  };
  static Layout beyond(const Layout& layout) { return {layout.rows + 1, layout.cols + 1}; }
  std::size_t index(int row, int col) const { return cell_index(beyond(gaps_.layout), row, col); }

  const GapMap& gaps_;
  std::vector<Sum> sums_;
  std::vector<double> log_factorials_;  // many blocks ask for few numbers
};

// The mean of the chances of a story's places, as ln.
class Story {
 public:
  void add(double log) {
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
  const auto add = [&](const Block& line) { lines.add(sums.log_chance(sums.part(line))); };
  for (int row = 0; row < layout.rows; ++row) add({row, row + 1, 0, layout.cols});
  for (int col = 0; col < layout.cols; ++col) add({0, layout.rows, col, col + 1});
  return lines.log_mean();
}

// Whole lines side by side, `line` among them.
double of_bands(const BlockSums& sums, const Layout& layout, const Block& line) {
  Story bands;
  const bool is_row = line.right - line.left == layout.cols;
  const int lines = is_row ? layout.rows : layout.cols, at = is_row ? line.top : line.left;
  for (int from = 0; from <= at; ++from)
    for (int to = std::max(at + 1, from + 2); to <= lines; ++to)
      if (to - from < lines)
        bands.add(sums.log_chance(
            sums.part(is_row ? Block{from, to, 0, layout.cols} : Block{0, layout.rows, from, to})));
  return bands.log_mean();
}

// Spans of two lines or more, but not of all, one of them from `first` to before `last`. In tables far larger
// than trays they begin and end at every second line, or fewer, since blocks grow in number with the lines'
// fourth power.
std::vector<std::pair<int, int>> spans(int lines, int first, int last) {
  constexpr int kMost = 50;  // places to begin at
  const int step = (lines + kMost - 1) / kMost;
  std::vector<std::pair<int, int>> all;
  for (int from = 0; from < last; from += step)
    for (int next = from + step; next < lines + step; next += step)
      if (const int to = std::min(next, lines); to >= from + 2 && to > first && to - from < lines)
        all.emplace_back(from, to);
  return all;
}

// All blocks that share a cell with `crossed`. Beside cells set aside some are a piece of a line: left out.
template <typename Take>
void each_block(const BlockSums& sums, const Layout& layout, const Block& crossed, Take take) {
  const auto across = spans(layout.cols, crossed.left, crossed.right);
  for (const auto& [top, bottom] : spans(layout.rows, crossed.top, crossed.bottom))
    for (const auto& [left, right] : across) {
      const Block block{top, bottom, left, right};
      const Part part = sums.part(block);
      if (part.part_cells > std::max(bottom - top, right - left)) take(block, part);
    }
}

double of_blocks(const BlockSums& sums, const Layout& layout, const Block& crossed) {
  Story blocks;
  each_block(sums, layout, crossed,
             [&](const Block&, const Part& part) { blocks.add(sums.log_chance(part)); });
  return blocks.log_mean();
}

Block shared(const Block& one, const Block& other) {
  return {std::max(one.top, other.top), std::min(one.bottom, other.bottom), std::max(one.left, other.left),
          std::min(one.right, other.right)};
}

// A block that crosses the line, and a line: this one of all that it might be.
double of_blocks_and_line(const BlockSums& sums, const Layout& layout, const Block& line) {
  Story both;
  const Part alone = sums.part(line);
  each_block(sums, layout, line, [&](const Block& block, const Part& part) {
    both.add(sums.log_chance(alone, part, sums.part(shared(block, line))));
  });
  return both.log_mean() - std::log(layout.rows + layout.cols);
}

// The middle's rate and that of all else.
double of_edge(const BlockSums& sums, const Layout& layout) {
  return sums.log_chance(sums.part({1, std::max(1, layout.rows - 1), 1, std::max(1, layout.cols - 1)}));
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
  const double as_line = std::max(
      {of_lines(sums, layout), of_bands(sums, layout, crossed), of_blocks_and_line(sums, layout, crossed)});
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
    const double log = sums.log_chance(part);
    if (!poorest || log > likeliest) poorest = block, likeliest = log;
  });
  return poorest;
}

}  // namespace braird
