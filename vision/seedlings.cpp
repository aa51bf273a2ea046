// SPDX-License-Identifier: Apache-2.0
#include "vision/seedlings.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <stdexcept>

#include "vision/flat_tray.h"
#include "vision/net/networks.h"
#include "vision/seed_area.h"
#include "vision/seedlings_by_shape.h"
#include "vision/seeds_told.h"

namespace braird::vision {
namespace {

/// Cells of a tray up to which there is time for a second look, and up to half of it for four. Seeds are
/// looked at twice or more in any tray.
constexpr int kMostLookedAtTwice = 162;

/// What the network is told beside the picture: lean, habit, seeds sown.
cv::Mat sides(const cv::Mat& lean, const Hints& hints) {
  cv::Mat parts[8];
  cv::split(lean, parts);
  for (int c = 2; c < 8; ++c) parts[c] = cv::Mat::zeros(lean.size(), CV_32F);
  parts[2 + static_cast<int>(hints.habit)].setTo(1);
  if (hints.seeds_per_cell) {
    parts[6].setTo(*hints.seeds_per_cell / 8.0);
    parts[7].setTo(1);
  }
  cv::Mat result;
  cv::merge(parts, 8, result);
  return result;
}

CountChances chances_at(const cv::Mat& chances, int y, int x) {
  const float* first = chances.ptr<float>(y, x);
  return {first, first + chances.channels()};
}

/// How a picture is flipped before it is looked at: about a level axis, an upright one, or both (turned by
/// half).
struct Flip {
  bool upside_down = false, left_right = false;
};

cv::Mat flipped(const cv::Mat& picture, const Flip& flip) {
  if (!flip.upside_down && !flip.left_right) return picture;
  cv::Mat result;
  cv::flip(picture, result, flip.upside_down && flip.left_right ? -1 : flip.left_right ? 1 : 0);
  return result;
}

/// Leans point the other way once flipped.
cv::Mat flipped_lean(const cv::Mat& lean, const Flip& flip) {
  cv::Mat result = flipped(lean, flip);
  cv::multiply(result, cv::Scalar(flip.left_right ? -1 : 1, flip.upside_down ? -1 : 1), result);
  return result;
}

constexpr Flip kLooks[] = {{}, {true, true}, {false, true}, {true, false}};

/// How many looks at a tray there is time for.
int looks_for(int cells, Counted counted) {
  if (cells <= kMostLookedAtTwice / 2) return 4;
  return cells <= kMostLookedAtTwice || counted == Counted::seeds ? 2 : 1;
}

/// A look at the tray flipped in its way: chances of each count, for rows and half columns as they lie.
cv::Mat look_at(const FlatTray& flat, const Hints& hints, int look) {
  const Flip& flip = kLooks[look];
  return flipped(count_chances(hints.counted == Counted::seeds ? Model::seeds : Model::counts,
                               flipped(flat.bgr, flip), sides(flipped_lean(flat.lean, flip), hints), look),
                 flip);
}

std::vector<CountChances> count_by_network(const FlatTray& flat, const Lattice& lattice, const Hints& hints) {
  const int looks = looks_for(lattice.rows * lattice.cols, hints.counted);
  cv::Mat seen = look_at(flat, hints, 0);
  for (int look = 1; look < looks; ++look) seen += look_at(flat, hints, look);
  seen.convertTo(seen, CV_32F, 1.0 / looks);
  std::vector<CountChances> chances;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col)
      chances.push_back(
          chances_at(seen, row, cvRound(2 * (tray_point(lattice, row, col).x - first_u(lattice)))));
  return chances;
}

}  // namespace

std::vector<CountChances> count_seedlings(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints,
                                          const Trace& trace) {
  if (hints.counter == Counter::by_shape && hints.counted == Counted::seeds)
    throw std::invalid_argument(
        "only seedlings can be counted by shape; count seeds with the learned counter");
  const bool by_shape = hints.counter == Counter::by_shape;
  const int cell = by_shape ? kCoarseCell : hints.counted == Counted::seeds ? kSeedsCell : kCountedCell;
  const FlatTray flat = lay_flat(bgr, lattice, cell);
  if (trace) trace("flat-tray", flat.bgr);
  if (by_shape) return count_by_shape(flat, lattice, hints, trace);
  auto chances = count_by_network(flat, lattice, hints);
  // Guesses are left as they are, for take_census to refuse: their "seeds' colours" would be chance.
  const bool seeds_seen = hints.counted == Counted::seeds && why_seeds_hide(chances).empty();
  return seeds_seen ? weighed_by_seed_area(flat, lattice, std::move(chances)) : chances;
}

}  // namespace braird::vision
