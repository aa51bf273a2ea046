// SPDX-License-Identifier: Apache-2.0
#include "vision/patch_growth.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <queue>

#include "vision/patch_seeds.h"

namespace braird::vision {
namespace {

constexpr int kMostSteps = 60;         // from a patch's first blob
constexpr std::size_t kSmallest = 12;  // blobs in a patch
constexpr int kSeeds = 4;
constexpr double kNear = 0.3;  // pitches from where its neighbours expect it at which a blob is the next cell

/// Where the cells around it, bent as they are, have a place of the patch.
struct Expected {
  cv::Point2d at;
  Steps steps;
  int support = 0;  ///< neighbours that are placed, of eight
};

class Growth {
 public:
  Growth(Blobs& blobs, const Seed& seed) : blobs_(blobs), placed_(kWide, kWide, 0) {
    place({0, 0}, seed.blob, seed.steps);
    while (!next_.empty()) {
      const Next next = next_.top();
      next_.pop();
      if (number(next.steps) != 0 || blobs_.taken[next.blob]) continue;
      place(next.steps, next.blob, next.local);
    }
  }

  Patch patch() const { return patch_; }

 private:
  static constexpr int kWide = 2 * kMostSteps + 1;

  struct Next {
    double promise;
    cv::Point steps;
    int blob;
    Steps local;
    bool operator<(const Next& other) const { return promise < other.promise; }
  };

  /// One more than the place's index in the patch; 0 if it isn't filled.
  int number(cv::Point p) const {
    const bool inside = std::max(std::abs(p.x), std::abs(p.y)) <= kMostSteps;
    return inside ? placed_(p.y + kMostSteps, p.x + kMostSteps) : 0;
  }

  void place(cv::Point p, int blob, const Steps& local) {
    patch_.push_back({p, blobs_.all[blob].at, blobs_.all[blob].weight});
    locals_.push_back(local);
    blobs_.taken[blob] = true;
    placed_(p.y + kMostSteps, p.x + kMostSteps) = static_cast<int>(patch_.size());
    for (int j = -2; j <= 2; ++j)
      for (int i = -2; i <= 2; ++i)
        if (std::abs(i) + std::abs(j) <= 2) consider(p + cv::Point(i, j));
  }

  void consider(cv::Point p) {
    if (std::max(std::abs(p.x), std::abs(p.y)) > kMostSteps || number(p) != 0) return;
    const auto expected = expect(p);
    if (!expected) return;
    const double pitch = std::sqrt(cell_area(expected->steps));
    const double reach = (expected->support >= 3 ? kNear : 0.75 * kNear) * pitch;
    const int blob = blobs_.nearest(expected->at, reach);
    if (!blob) return;
    const double off = cv::norm(blobs_.all[blob].at - expected->at) / pitch;
    next_.push({expected->support + blobs_.all[blob].weight - 6 * off, p, blob, expected->steps});
  }

  /// An affine map fitted to the places up to two steps away, held to the nearest one's own steps.
  std::optional<Expected> expect(cv::Point p) const {
    cv::Matx33d normal = cv::Matx33d::zeros();
    cv::Matx<double, 3, 2> right = cv::Matx<double, 3, 2>::zeros();
    Expected result;
    int nearest = -1, least = 99;
    for (int j = -2; j <= 2; ++j)
      for (int i = -2; i <= 2; ++i) {
        const int k = number(p + cv::Point(i, j)) - 1;
        if (k < 0) continue;
        const int far = i * i + j * j;
        if (far < least) nearest = k, least = far;
        result.support += std::max(std::abs(i), std::abs(j)) == 1;
        const cv::Vec3d d(1, i, j);
        const cv::Point2d at = patch_[k].seen;
        const double weight = patch_[k].weight / far;
        normal += weight * d * d.t();
        right += weight * d * cv::Matx12d(at.x, at.y);
      }
    if (nearest < 0) return std::nullopt;
    constexpr double kHeld = 1.5;
    const Steps& own = locals_[nearest];
    normal(1, 1) += kHeld, normal(2, 2) += kHeld;
    right += kHeld * cv::Matx<double, 3, 2>(0, 0, own.a.x, own.a.y, own.b.x, own.b.y);
    const cv::Matx<double, 3, 2> map = normal.inv() * right;
    result.at = {map(0, 0), map(0, 1)};
    result.steps = {{map(1, 0), map(1, 1)}, {map(2, 0), map(2, 1)}};
    return result;
  }

  Blobs& blobs_;
  cv::Mat1i placed_;
  Patch patch_;
  std::vector<Steps> locals_;
  std::priority_queue<Next> next_;
};

}  // namespace

std::vector<Patch> grow_patches(const LatticeMaps& maps, const TrayQuad& quad) {
  Blobs blobs = blobs_of(maps, quad);
  std::vector<Patch> patches;
  int tried = 0;
  for (const Seed& seed : seeds_of(blobs)) {
    if (tried == kSeeds) break;
    if (seed.regularity == 0 || blobs.taken[seed.blob]) continue;
    ++tried;
    std::vector<bool> before = blobs.taken;
    Patch patch = Growth(blobs, seed).patch();
    if (patch.size() < kSmallest)
      blobs.taken = std::move(before);
    else
      patches.push_back(std::move(patch));
  }
  std::sort(patches.begin(), patches.end(), [](auto& a, auto& b) { return a.size() > b.size(); });
  return patches;
}

}  // namespace braird::vision
