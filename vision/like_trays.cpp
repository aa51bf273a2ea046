// SPDX-License-Identifier: Apache-2.0
#include "vision/like_trays.h"

#include <algorithm>
#include <cmath>

namespace braird::vision {
namespace {

constexpr double kPitchAlike = 0.1;  // share by which pitches may differ under perspective
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

bool cells_alike(const Lattice& a, const Lattice& b) {
  return (a.odd_row_shift == 0) == (b.odd_row_shift == 0) &&
         std::abs(std::log(middle_pitch(a) / middle_pitch(b))) <= kPitchAlike;
}

bool odd_pair(const Lattice& a, const Lattice& b) {
  const bool square = a.odd_row_shift == 0;
  if (!cells_alike(a, b)) return false;
  if (square && (a.rows == b.cols && a.cols == b.rows)) return false;
  return differ_by_few(a, b.rows, b.cols) || (square && differ_by_few(a, b.cols, b.rows));
}

}  // namespace

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
      if (cells_alike(a, b) && (is_multiple(a, b.rows, b.cols) || (square && is_multiple(a, b.cols, b.rows))))
        return std::pair(i, j);
    }
  return std::nullopt;
}

}  // namespace braird::vision
