// SPDX-License-Identifier: Apache-2.0
#include "calibration/small_matrix.h"

#include <doctest/doctest.h>

using namespace braird;

namespace {

// Positive definite: 4 1 0 / 1 3 2 / 0 2 5.
constexpr Matrix<3> kMatrix = {{{4, 1, 0}, {1, 3, 2}, {0, 2, 5}}};

}  // namespace

TEST_CASE("identity: the square root times its turn is the matrix") {
  const auto root = square_root(kMatrix);
  REQUIRE(root);
  for (std::size_t row = 0; row < 3; ++row)
    for (std::size_t col = 0; col < 3; ++col) {
      double sum = 0;
      for (std::size_t k = 0; k < 3; ++k) sum += (*root)[row][k] * (*root)[col][k];
      CHECK(sum == doctest::Approx(kMatrix[row][col]));
      if (col > row) CHECK((*root)[row][col] == 0);
    }
}

TEST_CASE("identity: what was solved gives the right side back") {
  const Vector<3> right = {1, -2, 7};
  const auto x = solved(kMatrix, right);
  REQUIRE(x);
  for (std::size_t row = 0; row < 3; ++row) {
    double sum = 0;
    for (std::size_t col = 0; col < 3; ++col) sum += kMatrix[row][col] * (*x)[col];
    CHECK(sum == doctest::Approx(right[row]));
  }
}

TEST_CASE("closed form: the inverse's diagonal by cofactors (determinant 39)") {
  const auto diagonal = inverse_diagonal(kMatrix);
  REQUIRE(diagonal);
  CHECK((*diagonal)[0] == doctest::Approx(11. / 39));
  CHECK((*diagonal)[1] == doctest::Approx(20. / 39));
  CHECK((*diagonal)[2] == doctest::Approx(11. / 39));
}

TEST_CASE("a matrix that is not positive definite has no root, no solution and no variances") {
  for (const Matrix<2>& matrix :
       {Matrix<2>{{{1, 2}, {2, 1}}}, Matrix<2>{{{0, 0}, {0, 1}}}, Matrix<2>{{{-1, 0}, {0, 1}}}}) {
    CHECK_FALSE(square_root(matrix));
    CHECK_FALSE(solved(matrix, Vector<2>{1, 1}));
    CHECK_FALSE(inverse_diagonal(matrix));
  }
}
