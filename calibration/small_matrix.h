// SPDX-License-Identifier: Apache-2.0
// Symmetric positive definite matrices of a few rows: solved and inverted by Cholesky's square root.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <optional>

namespace braird {

template <std::size_t Size>
using Vector = std::array<double, Size>;
template <std::size_t Size>
using Matrix = std::array<Vector<Size>, Size>;

/// The lower triangle whose square is the matrix; nothing unless it is positive definite.
template <std::size_t Size>
std::optional<Matrix<Size>> square_root(const Matrix<Size>& matrix) {
  Matrix<Size> root{};
  for (std::size_t row = 0; row < Size; ++row)
    for (std::size_t col = 0; col <= row; ++col) {
      double rest = matrix[row][col];
      for (std::size_t k = 0; k < col; ++k) rest -= root[row][k] * root[col][k];
      if (row == col && !(rest > 0)) return std::nullopt;
      root[row][col] = row == col ? std::sqrt(rest) : rest / root[col][col];
    }
  return root;
}

/// x of matrix · x = right; nothing unless the matrix is positive definite.
template <std::size_t Size>
std::optional<Vector<Size>> solved(const Matrix<Size>& matrix, Vector<Size> right) {
  const auto root = square_root(matrix);
  if (!root) return std::nullopt;
  for (std::size_t row = 0; row < Size; ++row) {
    for (std::size_t col = 0; col < row; ++col) right[row] -= (*root)[row][col] * right[col];
    right[row] /= (*root)[row][row];
  }
  for (std::size_t row = Size; row-- > 0;) {
    for (std::size_t below = row + 1; below < Size; ++below) right[row] -= (*root)[below][row] * right[below];
    right[row] /= (*root)[row][row];
  }
  return right;
}

/// The diagonal of the inverse: variances, if the matrix is an information.
template <std::size_t Size>
std::optional<Vector<Size>> inverse_diagonal(const Matrix<Size>& matrix) {
  Vector<Size> diagonal{};
  for (std::size_t at = 0; at < Size; ++at) {
    Vector<Size> unit{};
    unit[at] = 1;
    const auto column = solved(matrix, unit);
    if (!column) return std::nullopt;
    diagonal[at] = (*column)[at];
  }
  return diagonal;
}

}  // namespace braird
