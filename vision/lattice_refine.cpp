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

/// Tray coordinates scaled to about -1..1.
cv::Matx33d to_unit_of(const Lattice& lattice) {
  const double mid_u = (lattice.cols - 1) / 2.0, mid_v = (lattice.rows - 1) / 2.0;
  const double half = std::max(mid_u, mid_v);
  return {1 / half, 0, -mid_u / half, 0, 1 / half, -mid_v / half, 0, 0, 1};
}

/// How the place where a cell is shown moves with each unknown: eight of the plane, whose last is 1, and the
/// lens's k1.
std::array<cv::Point2d, kUnknowns> slopes(const cv::Matx33d& plane, const Lens& lens, cv::Point2d u) {
  const double depth = plane(2, 0) * u.x + plane(2, 1) * u.y + plane(2, 2);
  const cv::Point2d flat = project(plane, u), off = flat - lens.middle;
  const double size2 = lens.half_diagonal * lens.half_diagonal, r2 = off.dot(off) / size2;
  const auto bent = [&](cv::Point2d d) {
    return d * (1 + lens.k1 * r2) + off * (2 * lens.k1 * off.dot(d) / size2);
  };
  const cv::Point2d right = bent({1 / depth, 0}), down = bent({0, 1 / depth}),
                    away = bent(flat * (-1 / depth));
  return {right * u.x, right * u.y, right, down * u.x, down * u.y, down, away * u.x, away * u.y, off * r2};
}

/// One damped Gauss-Newton step on plane and lens, with blobs more than `soft` pitches off counting less
/// (Cauchy weights).
void step(Lattice& lattice, const std::vector<Meeting>& meetings, const cv::Matx33d& to_unit,
          double soft = 0.1) {
  const cv::Matx33d from_unit = to_unit.inv();
  cv::Matx33d unit_plane = lattice.photo_from_plane * from_unit;
  unit_plane *= 1 / unit_plane(2, 2);
  cv::Matx<double, kUnknowns, kUnknowns> normal = cv::Matx<double, kUnknowns, kUnknowns>::zeros();
  cv::Vec<double, kUnknowns> right;
  for (const Meeting& m : meetings) {
    const cv::Point2d u = project(to_unit, m.tray);
    const cv::Point2d off = m.seen - shown(unit_plane, lattice.lens, u);
    const double far = off.dot(off) / (soft * soft * m.pitch * m.pitch);
    const double weight = m.weight / (1 + far);
    const auto slope = slopes(unit_plane, lattice.lens, u);
    for (int i = 0; i < kUnknowns; ++i) {
      right[i] += weight * slope[i].dot(off);
      for (int j = 0; j <= i; ++j) normal(i, j) += weight * slope[i].dot(slope[j]);
    }
  }
  cv::completeSymm(normal, true);
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

/// A net of knots over the plane, at rest.
Creep still_net(const Lattice& lattice) {
  const int across = std::clamp(lattice.cols / 3 + 1, 2, 9), down = std::clamp(lattice.rows / 3 + 1, 2, 9);
  return {cv::Mat_<cv::Vec2d>(down, across, cv::Vec2d()), cv::Rect2d(-0.5, -0.5, lattice.cols, lattice.rows)};
}

cv::Point2d knot_of(const Creep& creep, int j, int i) {
  return {creep.extent.x + creep.extent.width * i / (creep.shift.cols - 1),
          creep.extent.y + creep.extent.height * j / (creep.shift.rows - 1)};
}

constexpr int kTerms = 10;

/// The terms of a polynomial of the third degree at a place in unit coordinates.
cv::Vec<double, kTerms> terms(cv::Point2d p) {
  const double x = p.x, y = p.y;
  return {1, x, y, x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y};
}

/// How a lattice bends: a polynomial fitted to how far its blobs stray, strange ones counting less.
Creep smooth_bend(const Lattice& lattice, const std::vector<Meeting>& meetings) {
  const cv::Matx33d to_unit = to_unit_of(lattice);
  const auto strays = strays_of(lattice, meetings);
  cv::Matx<double, kTerms, 2> bend = cv::Matx<double, kTerms, 2>::zeros();
  for (int round = 0; round < 3; ++round) {
    cv::Matx<double, kTerms, kTerms> normal = cv::Matx<double, kTerms, kTerms>::zeros();
    cv::Matx<double, kTerms, 2> right = cv::Matx<double, kTerms, 2>::zeros();
    for (const Stray& stray : strays) {
      const auto t = terms(project(to_unit, stray.tray));
      const cv::Vec2d left = cv::Vec2d(stray.off.x, stray.off.y) - bend.t() * t;
      const double weight = stray.weight / (1 + left.dot(left) / 0.02);
      normal += weight * t * t.t();
      right += weight * t * cv::Matx12d(stray.off.x, stray.off.y);
    }
    constexpr double kStiff =
        0.5;  // cells' worth of "even": more for the third degree, which runs wild at edges
    for (int i = 0; i < kTerms; ++i) normal(i, i) += i < 6 ? kStiff : 6 * kStiff;
    bend = normal.inv() * right;
  }
  Creep creep = still_net(lattice);
  for (int j = 0; j < creep.shift.rows; ++j)
    for (int i = 0; i < creep.shift.cols; ++i)
      creep.shift(j, i) = bend.t() * terms(project(to_unit, knot_of(creep, j, i)));
  return creep;
}

/// Moves each knot of a lattice's creep by the strays around it.
void follow(const std::vector<Stray>& strays, Lattice& lattice) {
  const int across = lattice.creep.shift.cols, down = lattice.creep.shift.rows;
  const double spacing = std::max(lattice.cols / (across - 1.0), lattice.rows / (down - 1.0));
  for (int j = 0; j < down; ++j)
    for (int i = 0; i < across; ++i)
      lattice.creep.shift(j, i) += smooth_stray(strays, knot_of(lattice.creep, j, i), spacing);
}

/// The affine map that takes cells to where they are seen, before the lens.
cv::Matx33d affine_through(const std::vector<Meeting>& meetings, const Lens& lens) {
  cv::Matx33d normal = cv::Matx33d::zeros();
  cv::Matx<double, 3, 2> right = cv::Matx<double, 3, 2>::zeros();
  for (const Meeting& m : meetings) {
    const cv::Vec3d d(m.tray.x, m.tray.y, 1);
    const cv::Point2d at = undistort(lens, m.seen);
    normal += d * d.t();
    right += d * cv::Matx12d(at.x, at.y);
  }
  const cv::Matx<double, 3, 2> map = normal.inv(cv::DECOMP_SVD) * right;
  return {map(0, 0), map(1, 0), map(2, 0), map(0, 1), map(1, 1), map(2, 1), 0, 0, 1};
}

}  // namespace

Lattice lay_through(const std::vector<Meeting>& meetings, Lattice lattice) {
  constexpr double kSoft = 0.3;  // a lattice crept by 8 % strays by up to 0.4 pitches from the best plane
  lattice.photo_from_plane = affine_through(meetings, lattice.lens);
  if (meetings.empty()) return lattice;
  for (int round = 0; round < 4; ++round) step(lattice, meetings, to_unit_of(lattice), kSoft);
  lattice.creep = smooth_bend(lattice, meetings);
  return lattice;
}

Lattice bend(const LatticeMaps& maps, Lattice lattice) {
  for (const double reach : {0.5, 0.5, 0.4, 0.4}) {
    const auto meetings = meet_all(maps, lattice, reach);
    if (meetings.size() < std::size_t{2} * kTerms) return lattice;
    const Creep more = smooth_bend(lattice, meetings);
    if (lattice.creep.shift.empty())
      lattice.creep = more;
    else
      lattice.creep.shift = lattice.creep.shift + more.shift;
  }
  return lattice;
}

Lattice refine(const LatticeMaps& maps, Lattice lattice, Effort effort) {
  static const std::vector<double> carefully{0.6, 0.5, 0.45, 0.4, 0.4}, roughly{0.6, 0.5};
  const cv::Matx33d to_unit = to_unit_of(lattice);
  for (const double reach : effort == Effort::rough ? roughly : carefully) {
    const auto meetings = meet_all(maps, lattice, reach);
    if (meetings.size() < 9) return lattice;
    step(lattice, meetings, to_unit);
    if (effort == Effort::full) step(lattice, meetings, to_unit);
  }
  return lattice;
}

Lattice follow_creep(const std::vector<Meeting>& meetings, Lattice lattice) {
  constexpr int kRounds = 20;  // each leaves a part of the strays, the most at corners
  lattice.creep.shift = lattice.creep.shift.clone();
  for (int round = 0; round < kRounds; ++round) follow(strays_of(lattice, meetings), lattice);
  return lattice;
}

Lattice follow_creep(const LatticeMaps& maps, Lattice lattice) {
  constexpr double kSlight = 0.15;  // pitches: blobs are met from rest, whatever bend was tried before
  if (lattice.creep.shift.empty() || cv::norm(lattice.creep.shift, cv::NORM_INF) < kSlight)
    lattice.creep = still_net(lattice);
  else
    lattice.creep.shift = lattice.creep.shift.clone();
  for (const double reach : {0.5, 0.4, 0.4})
    follow(strays_of(lattice, meet_all(maps, lattice, reach)), lattice);
  return lattice;
}

}  // namespace braird::vision
