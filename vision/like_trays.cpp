// SPDX-License-Identifier: Apache-2.0
#include "vision/like_trays.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "vision/lattice_choice.h"

namespace braird::vision {
namespace {

constexpr double kPitchAlikeOfMultiples = 0.2;  // where one layout is a multiple of the other
constexpr int kFewRows = 2;

double middle_pitch(const Lattice& lattice) {
  return pitch_at(lattice, {lattice.cols / 2.0, lattice.rows / 2.0});
}

bool differ_by_few(const Lattice& a, int b_rows, int b_cols) {
  const int rows = std::abs(a.rows - b_rows), cols = std::abs(a.cols - b_cols);
  return std::min(rows, cols) == 0 && std::max(rows, cols) >= 1 && std::max(rows, cols) <= kFewRows;
}

bool is_multiple(const Lattice& a, int b_rows, int b_cols) {
  const auto times = [](int many, int few) { return many % few == 0 && many > few && many <= 3 * few; };
  return (a.rows == b_rows && times(a.cols, b_cols)) || (a.cols == b_cols && times(a.rows, b_rows));
}

/// Whether a cell of the tray stands at this place of the photo, give or take `most` px.
bool has_cell_at(const Lattice& lattice, cv::Point2d place, double most) {
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col)
      if (cv::norm(cell_centre(lattice, row, col) - place) < most) return true;
  return false;
}

bool odd_pair(const Lattice& a, const Lattice& b) {
  const bool square = a.odd_row_shift == 0;
  if (!cells_alike(a, b)) return false;
  if (square && (a.rows == b.cols && a.cols == b.rows)) return false;
  return differ_by_few(a, b.rows, b.cols) || (square && differ_by_few(a, b.cols, b.rows));
}

}  // namespace

bool cells_alike(const Lattice& a, const Lattice& b, double most) {
  return (a.odd_row_shift == 0) == (b.odd_row_shift == 0) &&
         std::abs(std::log(middle_pitch(a) / middle_pitch(b))) <= most;
}

std::vector<Lattice> each_once(const std::vector<Lattice>& lattices) {
  std::vector<Lattice> kept;
  for (const Lattice& lattice : lattices) {
    const auto same =
        std::ranges::find_if(kept, [&](const Lattice& other) { return same_cells(lattice, other); });
    if (same == kept.end())
      kept.push_back(lattice);
    else if (lattice.fit > same->fit)
      *same = lattice;
  }
  return kept;
}

std::optional<std::pair<std::size_t, std::size_t>> at_odds(const std::vector<Lattice>& lattices) {
  for (std::size_t i = 0; i < lattices.size(); ++i)
    for (std::size_t j = i + 1; j < lattices.size(); ++j)
      if (odd_pair(lattices[i], lattices[j])) return std::pair(i, j);
  return std::nullopt;
}

std::optional<std::pair<std::size_t, std::size_t>> several_in_one(const std::vector<Lattice>& lattices) {
  for (std::size_t i = 0; i < lattices.size(); ++i)
    for (std::size_t j = 0; j < lattices.size(); ++j) {
      const Lattice &a = lattices[i], &b = lattices[j];
      const bool square = a.odd_row_shift == 0;
      if (cells_alike(a, b, kPitchAlikeOfMultiples) &&
          (is_multiple(a, b.rows, b.cols) || (square && is_multiple(a, b.cols, b.rows))))
        return std::pair(i, j);
    }
  return std::nullopt;
}

bool several_of_a_make(const Layout& layout, const std::vector<Layout>& known) {
  constexpr double kLong = 3, kLongest = 3.5;  // times as long as wide
  const auto [fewer, more] = std::minmax(layout.rows, layout.cols);
  const bool square = layout.lattice == LatticeKind::square;
  if ((square && more < kLong * fewer) || is_listed(layout, known)) return false;
  const auto makes = [&](int trays, int seams) {
    const int rows = layout.rows - seams, cols = layout.cols - seams;
    return (rows % trays == 0 && is_listed({rows / trays, layout.cols, layout.lattice}, known)) ||
           (cols % trays == 0 && is_listed({layout.rows, cols / trays, layout.lattice}, known));
  };
  return std::ranges::any_of(std::array{2, 3}, [&, wide = fewer, longer = more](int trays) {
    const bool too_long =
        longer >= kLongest * wide && longer % trays == 0 && longer < kLongest * trays * wide;
    return makes(trays, 0) || (square ? too_long : makes(trays, trays - 1));
  });
}

bool goes_on_in(const Lattice& lattice, int side, const Lattice& other) {
  constexpr double kNear = 0.35;  // pitches
  const bool upright = side % 2 == 1;
  const int across = upright ? (side == 1 ? lattice.cols : -1) : (side == 2 ? lattice.rows : -1);
  const int last = (upright ? lattice.rows : lattice.cols) - 1;
  return std::ranges::all_of(std::array{0, last}, [&](int along) {
    const cv::Point2d beyond = upright ? cv::Point2d(across, along) : cv::Point2d(along, across);
    return has_cell_at(other, photo_point(lattice, beyond), kNear * pitch_at(lattice, beyond));
  });
}

}  // namespace braird::vision
