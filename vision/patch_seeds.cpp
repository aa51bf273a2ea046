// SPDX-License-Identifier: Apache-2.0
#include "vision/patch_seeds.h"

#include <algorithm>
#include <cmath>

#include "vision/seams.h"

namespace braird::vision {
namespace {

constexpr double kOutside = 0.1;        // of the quad: blobs so far outside may still be its cells
constexpr std::size_t kFewest = 12;     // blobs
constexpr std::size_t kLookedAt = 150;  // of them

/// How well all eight neighbours stand where two steps have them, 0..8.
double regularity_of(const Blobs& blobs, cv::Point2d at, const Steps& steps) {
  const double reach = 0.25 * std::sqrt(cell_area(steps));
  double sum = 0;
  for (int i = -1; i <= 1; ++i)
    for (int j = -1; j <= 1; ++j) {
      if (i == 0 && j == 0) continue;
      const cv::Point2d there = at + i * steps.a + j * steps.b;
      if (const int k = blobs.nearest(there, reach); k)
        sum += blobs.all[k].weight * (1 - cv::norm(blobs.all[k].at - there) / reach);
    }
  return sum;
}

std::vector<cv::Point2d> neighbours_of(const Blobs& blobs, int blob, double reach) {
  const cv::Point2d at = blobs.all[blob].at;
  std::vector<cv::Point2d> steps;
  for (std::size_t k = 1; k < blobs.all.size(); ++k)
    if (const cv::Point2d step = blobs.all[k].at - at;
        static_cast<int>(k) != blob && !blobs.taken[k] && step.dot(step) < reach * reach)
      steps.push_back(step);
  std::sort(steps.begin(), steps.end(), [](auto a, auto b) { return a.dot(a) < b.dot(b); });
  if (steps.size() > 10) steps.resize(10);
  return steps;
}

Seed seed_at(const Blobs& blobs, int blob, double spacing) {
  Seed best{blob, {}, 0};
  const auto around = neighbours_of(blobs, blob, 2 * spacing);
  for (std::size_t i = 0; i < around.size(); ++i)
    for (std::size_t k = i + 1; k < around.size(); ++k) {
      const Steps steps{around[i], around[k]};
      const double a = cv::norm(steps.a), b = cv::norm(steps.b);
      if (b > 1.6 * a || cell_area(steps) < 0.75 * a * b) continue;
      // Every second cell is as regular as all of them: nearer steps count more.
      const double regularity =
          regularity_of(blobs, blobs.all[blob].at, steps) * spacing / std::sqrt(cell_area(steps));
      if (regularity > best.regularity) best = {blob, steps, regularity};
    }
  return best;
}

/// The usual distance from a blob to the nearest other one.
double usual_spacing(const Blobs& blobs) {
  std::vector<double> nearest;
  for (std::size_t i = 1; i < blobs.all.size(); ++i) {
    double least = 1e18;  // squared, as below
    for (std::size_t k = 1; k < blobs.all.size(); ++k)
      if (const cv::Point2d step = blobs.all[i].at - blobs.all[k].at; k != i)
        least = std::min(least, step.dot(step));
    nearest.push_back(std::sqrt(least));
  }
  std::nth_element(nearest.begin(), nearest.begin() + static_cast<long>(nearest.size() / 2), nearest.end());
  return nearest[nearest.size() / 2];
}

}  // namespace

double cell_area(const Steps& steps) {
  return std::abs(steps.a.cross(steps.b));
}

void Blobs::add(const Blob& blob) {
  int& there = first(cvRound(blob.at.y) / kSquare, cvRound(blob.at.x) / kSquare);
  next.push_back(there);
  there = static_cast<int>(all.size());
  all.push_back(blob);
  taken.push_back(false);
}

int Blobs::nearest(cv::Point2d p, double reach) const {
  constexpr double kRounding = 0.5;
  const auto squares = [&](double middle, int count) {
    return cv::Range(std::max(0, cvFloor((middle - reach - kRounding) / kSquare)),
                     std::min(count, cvFloor((middle + reach + kRounding) / kSquare) + 1));
  };
  const cv::Range across = squares(p.x, first.cols), down = squares(p.y, first.rows);
  int best = 0;
  double least = reach;
  for (int y = down.start; y < down.end; ++y)
    for (int x = across.start; x < across.end; ++x)
      for (int i = first(y, x); i; i = next[i])
        if (const double away = cv::norm(all[i].at - p); away < least && !taken[i]) best = i, least = away;
  return best;
}

Blobs blobs_of(const LatticeMaps& maps, const TrayQuad& quad) {
  const cv::Matx33d unit = plane_of(quad.corners).inv();
  Blobs blobs{
      .taken = {false},
      .first = cv::Mat1i(maps.centres.rows / Blobs::kSquare + 1, maps.centres.cols / Blobs::kSquare + 1, 0),
      .next = {0}};
  for (const Blob& blob : peaks_of(maps.centres)) {
    const cv::Point2d p = project(unit, undistort(quad.lens, blob.at));
    if (std::min(p.x, p.y) >= -kOutside && std::max(p.x, p.y) <= 1 + kOutside) blobs.add(blob);
  }
  return blobs;
}

std::vector<Seed> seeds_of(const Blobs& blobs) {
  std::vector<Seed> seeds;
  if (blobs.all.size() <= kFewest) return seeds;
  const double spacing = usual_spacing(blobs);
  const std::size_t stride = 1 + blobs.all.size() / kLookedAt;
  for (std::size_t i = 1; i < blobs.all.size(); i += stride)
    seeds.push_back(seed_at(blobs, static_cast<int>(i), spacing));
  std::sort(seeds.begin(), seeds.end(), [](auto& a, auto& b) { return a.regularity > b.regularity; });
  return seeds;
}

}  // namespace braird::vision
