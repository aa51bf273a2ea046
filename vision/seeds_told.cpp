// SPDX-License-Identifier: Apache-2.0
#include "vision/seeds_told.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "vision/cell_chances.h"

namespace braird::vision {
namespace {

// Evidence: 31 painted trays (painted_seeds), a third of them with seeds of the medium's colour. Trays that
// were seen had empty ≤ 0.14 and learned ≥ 0.37; where the counter guessed, either empty ≥ 0.77, or learned ≤
// 0.08 at a doubt of 0.33 or more.
constexpr double kMostEmpty = 0.6;
constexpr double kMostDoubt = 0.2;  // below, cells may well be alike: every one has its seed
constexpr double kLeastLearned = 0.2;
// Of 43 painted trays with seedlings in most cells the counter finds more than that in the middle of 41, of
// 285 just sown in none.
constexpr double kMostUp = 0.5;
// Of 285 painted trays with seeds the likest has 0.76, as of 57 in which every cell has one in its very
// middle; of 67 with none, half of them empty wells, 26 have more than 0.82, among them the one whose drain
// holes the counter takes for seeds (0.86). Three real trays with seeds have 0.14 to 0.19.
constexpr double kMostAlike = 0.82;
// Told nothing, 47 painted trays come within 0.41 of the number sown a cell, but one of five, of which the
// counter knows four; half a seed is the most that doesn't round to another number.
constexpr double kMostOff = 0.5;

double entropy(const CountChances& chances) {
  double sum = 0;
  for (const double p : chances)
    if (p > 0) sum -= p * std::log(p);
  return sum;
}

/// Seeds a cell, on average, of the cells that got any: missed ones are the sower's fault, not its setting.
double seeds_in_sown(const std::vector<CountChances>& chances) {
  double seeds = 0, sown = 0;
  for (const CountChances& cell : chances)
    if (const int count = count_of(cell); count > 0) seeds += count, ++sown;
  return seeds / std::max(1.0, sown);
}

const std::string kRemedy =
    "photograph it in even light, nearer and sharper, or count the seedlings once they are up";

}  // namespace

SeedSight sight_of(const std::vector<CountChances>& chances) {
  SeedSight sight;
  CountChances mean(chances.at(0).size());
  double seeds = 0, off = 0;
  const auto share = 1 / static_cast<double>(chances.size());
  for (const CountChances& cell : chances) {
    sight.empty += share * (std::max_element(cell.begin(), cell.end()) == cell.begin());
    sight.doubt += share * entropy(cell);
    for (std::size_t k = 0; k < mean.size(); ++k) {
      mean[k] += share * cell[k];
      seeds += cell[k] * static_cast<double>(k);
      off += cell[k] * std::abs(static_cast<double>(k) - count_of(cell));
    }
  }
  sight.miscounted = off / std::max(1e-9, seeds);
  sight.learned = std::clamp(1 - sight.doubt / std::max(1e-9, entropy(mean)), 0.0, 1.0);
  return sight;
}

std::string why_seeds_hide(const std::vector<CountChances>& chances) {
  const SeedSight sight = sight_of(chances);
  if (sight.empty > kMostEmpty)
    return "seeds can't be told from the medium: nothing of a seed's size stands out in most cells, or "
           "nothing was sown; " +
           kRemedy;
  if (sight.doubt > kMostDoubt && sight.learned < kLeastLearned)
    return "seeds can't be told from the medium: nothing sets cells with a seed apart from cells without; " +
           kRemedy;
  return "";
}

std::string why_seeds_uncounted(const std::vector<CountChances>& chances) {
  if (std::string hidden = why_seeds_hide(chances); !hidden.empty()) return hidden;
  const double miscounted = sight_of(chances).miscounted;
  if (miscounted <= kMostMiscounted) return "";
  return fmt::format(
      "seeds are too small, blurred or crowded to be counted: some {:.0f} of 100 would be missed or counted "
      "in excess; {}",
      100 * miscounted, kRemedy);
}

std::string why_other_drop(const std::vector<CountChances>& untold, int told, int most) {
  if (!why_seeds_hide(untold).empty()) return "";
  const double seen = seeds_in_sown(untold);
  const double as_told = std::clamp<double>(seen, std::min(told, most), told);
  if (std::abs(seen - as_told) <= kMostOff) return "";
  return fmt::format(
      "the photo shows about {:.0f} {} a cell, not {}; correct --seeds or the label, or leave it out", seen,
      seen < 1.5 ? "seed" : "seeds", told);
}

std::string why_all_alike(double alike) {
  if (alike <= kMostAlike) return "";
  return "the cells look all the same, as those of an empty tray do, so no seeds are counted; fill and sow "
         "it first";
}

std::string why_seedlings(double up) {
  if (up <= kMostUp) return "";
  return fmt::format(
      "seedlings are up in {:.0f} of 100 cells in the middle, so no seeds are left to count; count without "
      "--of seeds",
      100 * up);
}

}  // namespace braird::vision
