// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice_refine.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "vision/lattice_blobs.h"

namespace braird::vision {
namespace {

constexpr int kUnknowns = 9;  // eight of the plane, one of the lens

cv::Point2d shown(const cv::Matx33d& plane, const Lens& lens, cv::Point2d tray) {
  return distort(lens, project(plane, tray));
}

/// One damped Gauss-Newton step on plane and lens, with blobs far off counting less (Cauchy weights).
void step(Lattice& lattice, const std::vector<Meeting>& meetings, const cv::Matx33d& to_unit) {
  const cv::Matx33d from_unit = to_unit.inv();
  cv::Matx33d unit_plane = lattice.photo_from_plane * from_unit;
  unit_plane *= 1 / unit_plane(2, 2);
  cv::Matx<double, kUnknowns, kUnknowns> normal = cv::Matx<double, kUnknowns, kUnknowns>::zeros();
  cv::Vec<double, kUnknowns> right;
  const double size = lattice.lens.half_diagonal;
  const std::array<double, kUnknowns> delta{1e-3 * size, 1e-3 * size, 1e-3 * size, 1e-3 * size, 1e-3 * size,
                                            1e-3 * size, 1e-4,        1e-4,        1e-4};
  const auto moved = [&](int k, cv::Matx33d& plane, Lens& lens) {
    plane = unit_plane;
    lens = lattice.lens;
    if (k == 8) lens.k1 += delta[8];
    if (k < 8) plane(k / 3, k % 3) += delta[k];
  };
  for (const Meeting& m : meetings) {
    const cv::Point2d u = project(to_unit, m.tray);
    const cv::Point2d now = shown(unit_plane, lattice.lens, u);
    const cv::Point2d off = m.seen - now;
    const double far = off.dot(off) / (0.01 * m.pitch * m.pitch);
    const double weight = m.weight / (1 + far);
    std::array<cv::Point2d, kUnknowns> slope;
    for (int k = 0; k < kUnknowns; ++k) {
      cv::Matx33d plane;
      Lens lens;
      moved(k, plane, lens);
      slope[k] = (shown(plane, lens, u) - now) * (1 / delta[k]);
    }
    for (int i = 0; i < kUnknowns; ++i) {
      right[i] += weight * slope[i].dot(off);
      for (int j = 0; j < kUnknowns; ++j) normal(i, j) += weight * slope[i].dot(slope[j]);
    }
  }
  // A lens of |k1| = 0.05 is as likely as blobs that stray by a tenth of a pitch.
  const double stiff = 4 * meetings.front().pitch * meetings.front().pitch;
  normal(8, 8) += stiff;
  right[8] -= stiff * lattice.lens.k1;
  for (int i = 0; i < kUnknowns; ++i) normal(i, i) *= 1 + 1e-6;
  const cv::Vec<double, kUnknowns> move = normal.solve(right, cv::DECOMP_SVD);
  for (int k = 0; k < 8; ++k) unit_plane(k / 3, k % 3) += move[k];
  lattice.lens.k1 = std::clamp(lattice.lens.k1 + move[8], -0.15, 0.15);
  lattice.photo_from_plane = unit_plane * to_unit;
}

/// The mean stray around a knot; a few cells' worth of "none" keeps sparse corners still.
cv::Vec2d smooth_stray(const std::vector<Stray>& strays, cv::Point2d knot, double reach) {
  constexpr double kStill = 1.5;
  cv::Point2d sum{};
  double mass = kStill;
  for (const Stray& stray : strays) {
    const cv::Point2d away = stray.tray - knot;
    const double weight = stray.weight * std::exp(-away.dot(away) / (0.7 * reach * reach));
    sum += weight * stray.off;
    mass += weight;
  }
  return {sum.x / mass, sum.y / mass};
}

}  // namespace

Lattice refine(const LatticeMaps& maps, Lattice lattice, Effort effort) {
  static const std::vector<double> carefully{0.6, 0.5, 0.45, 0.4, 0.4}, roughly{0.6, 0.5};
  const double mid_u = (lattice.cols - 1) / 2.0, mid_v = (lattice.rows - 1) / 2.0;
  const double half = std::max(mid_u, mid_v);
  const cv::Matx33d to_unit(1 / half, 0, -mid_u / half, 0, 1 / half, -mid_v / half, 0, 0, 1);
  for (const double reach : effort == Effort::rough ? roughly : carefully) {
    const auto meetings = meet_all(maps, lattice, reach);
    if (meetings.size() < 9) return lattice;
    step(lattice, meetings, to_unit);
    if (effort == Effort::full) step(lattice, meetings, to_unit);
  }
  return lattice;
}

Lattice follow_creep(const LatticeMaps& maps, Lattice lattice) {
  const int across = std::clamp(lattice.cols / 3 + 1, 2, 9), down = std::clamp(lattice.rows / 3 + 1, 2, 9);
  const cv::Rect2d extent(-0.5, -0.5, lattice.cols, lattice.rows);
  lattice.creep = {cv::Mat_<cv::Vec2d>(down, across, cv::Vec2d()), extent};
  for (const double reach : {0.5, 0.4, 0.4}) {
    const auto strays = strays_of(lattice, meet_all(maps, lattice, reach));
    for (int j = 0; j < down; ++j)
      for (int i = 0; i < across; ++i) {
        const cv::Point2d knot(extent.x + extent.width * i / (across - 1),
                               extent.y + extent.height * j / (down - 1));
        lattice.creep.shift(j, i) +=
            smooth_stray(strays, knot, std::max(lattice.cols / (across - 1.0), lattice.rows / (down - 1.0)));
      }
  }
  return lattice;
}

}  // namespace braird::vision
