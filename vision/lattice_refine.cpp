// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice_refine.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <vector>

namespace braird::vision {
namespace {

constexpr int kUnknowns = 9;  // eight of the plane, one of the lens
constexpr double kFaintBlob = 0.15;

struct Meeting {
  cv::Point2d tray, seen;
  double weight;
  double pitch;
};

/// The weighted middle of the blob near a place, found in two steps with a shrinking reach.
std::optional<Meeting> meet(const LatticeMaps& maps, const Lattice& lattice, cv::Point2d tray, double reach) {
  const double pitch = pitch_at(lattice, tray);
  cv::Point2d at = photo_point(lattice, tray);
  double best = 0;
  for (const double radius : {reach * pitch, reach * pitch, 0.35 * pitch}) {
    cv::Point2d sum{};
    double mass = 0;
    best = 0;
    const cv::Rect window = cv::Rect(cvFloor(at.x - radius), cvFloor(at.y - radius), cvCeil(2 * radius) + 2, cvCeil(2 * radius) + 2) &
                            cv::Rect({0, 0}, maps.centres.size());
    for (int y = window.y; y < window.y + window.height; ++y)
      for (int x = window.x; x < window.x + window.width; ++x) {
        const cv::Point2d offset = cv::Point2d(x, y) - at;
        const double share = offset.dot(offset) / (radius * radius);
        if (share >= 1) continue;
        const double value = maps.centres.at<float>(y, x);
        const double weight = value * value * (1 - share);
        best = std::max(best, value);
        sum += weight * cv::Point2d(x, y);
        mass += weight;
      }
    if (best < kFaintBlob) return std::nullopt;
    at = sum * (1 / mass);
  }
  return Meeting{tray, at, best, pitch};
}

std::vector<Meeting> meet_all(const LatticeMaps& maps, const Lattice& lattice, double reach) {
  std::vector<Meeting> meetings;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col)
      if (const auto m = meet(maps, lattice, tray_point(lattice, row, col), reach)) meetings.push_back(*m);
  return meetings;
}

cv::Point2d shown(const cv::Matx33d& plane, const Lens& lens, cv::Point2d tray) {
  const cv::Vec3d p = plane * cv::Vec3d(tray.x, tray.y, 1);
  return distort(lens, {p[0] / p[2], p[1] / p[2]});
}

/// One damped Gauss-Newton step on plane and lens, with blobs far off counting less (Cauchy weights).
void step(Lattice& lattice, const std::vector<Meeting>& meetings, const cv::Matx33d& to_unit) {
  const cv::Matx33d from_unit = to_unit.inv();
  cv::Matx33d unit_plane = lattice.photo_from_plane * from_unit;
  unit_plane *= 1 / unit_plane(2, 2);
  cv::Matx<double, kUnknowns, kUnknowns> normal = cv::Matx<double, kUnknowns, kUnknowns>::zeros();
  cv::Vec<double, kUnknowns> right;
  const double size = lattice.lens.half_diagonal;
  const std::array<double, kUnknowns> delta{1e-3 * size, 1e-3 * size, 1e-3 * size, 1e-3 * size, 1e-3 * size, 1e-3 * size,
                                            1e-4,        1e-4,        1e-4};
  const auto moved = [&](int k, cv::Matx33d& plane, Lens& lens) {
    plane = unit_plane;
    lens = lattice.lens;
    if (k == 8) lens.k1 += delta[8];
    if (k < 8) plane(k / 3, k % 3) += delta[k];
  };
  for (const Meeting& m : meetings) {
    const cv::Vec3d u3 = to_unit * cv::Vec3d(m.tray.x, m.tray.y, 1);
    const cv::Point2d u(u3[0], u3[1]);
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

struct Stray {
  cv::Point2d tray, off;  ///< in cells
  double weight;
};

std::vector<Stray> strays_of(const Lattice& lattice, const std::vector<Meeting>& meetings) {
  std::vector<Stray> strays;
  for (const Meeting& m : meetings) {
    const cv::Point2d at = photo_point(lattice, m.tray), off = m.seen - at;
    const cv::Point2d right = 10 * (photo_point(lattice, m.tray + cv::Point2d(0.1, 0)) - at);
    const cv::Point2d down = 10 * (photo_point(lattice, m.tray + cv::Point2d(0, 0.1)) - at);
    const double area = right.cross(down);
    strays.push_back({m.tray, {off.cross(down) / area, right.cross(off) / area}, m.weight});
  }
  return strays;
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

double look(const cv::Mat& map, cv::Point2d p) {
  const int x = cvRound(p.x), y = cvRound(p.y);
  if (x < 0 || y < 0 || x >= map.cols || y >= map.rows) return 0;
  return map.at<float>(y, x);
}

/// Places one pitch beyond the outermost cells, all around.
std::vector<cv::Point2d> places_beyond(const Lattice& lattice) {
  std::vector<cv::Point2d> places;
  for (int col = 0; col < lattice.cols; ++col) {
    places.push_back(tray_point(lattice, 0, col) + cv::Point2d(lattice.odd_row_shift, -1));
    const int last = lattice.rows - 1;
    places.emplace_back(col + lattice.odd_row_shift * ((last + 1) % 2), last + 1.0);
  }
  for (int row = 0; row < lattice.rows; ++row) {
    places.push_back(tray_point(lattice, row, 0) - cv::Point2d(1, 0));
    places.push_back(tray_point(lattice, row, lattice.cols - 1) + cv::Point2d(1, 0));
  }
  return places;
}

/// How much places beyond look like cells, against the cells themselves. Ends of rows that a staggered lattice leaves
/// half a pitch short lie within the region too, so the blobs tell, not the region alone.
double beyond_share(const LatticeMaps& maps, const Lattice& lattice, double cell_heat) {
  const auto places = places_beyond(lattice);
  double heat = 0;
  for (const cv::Point2d& tray : places) {
    const cv::Point2d at = photo_point(lattice, tray);
    if (look(maps.region, at) > 0.5) heat += look(maps.centres, at);
  }
  return std::min(1.0, heat / static_cast<double>(places.size()) / std::max(cell_heat, 1e-6));
}

void draw_blob(cv::Mat& drawn, cv::Point2d at, double sigma) {
  const int reach = cvCeil(3 * sigma);
  const cv::Rect window = cv::Rect(cvRound(at.x) - reach, cvRound(at.y) - reach, 2 * reach + 1, 2 * reach + 1) &
                          cv::Rect({0, 0}, drawn.size());
  for (int y = window.y; y < window.y + window.height; ++y)
    for (int x = window.x; x < window.x + window.width; ++x) {
      const cv::Point2d off = cv::Point2d(x, y) - at;
      float& value = drawn.at<float>(y, x);
      value = std::max(value, static_cast<float>(std::exp(-off.dot(off) / (2 * sigma * sigma))));
    }
}

/// Lattices with too few cells meet a blob each and still leave the rest of the map unexplained: this sees it.
double likeness_of(const LatticeMaps& maps, const Lattice& lattice) {
  cv::Mat drawn = cv::Mat::zeros(maps.centres.size(), CV_32F), result;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) {
      const cv::Point2d tray = tray_point(lattice, row, col);
      draw_blob(drawn, photo_point(lattice, tray), 0.2 * pitch_at(lattice, tray));
    }
  std::vector<cv::Point2f> hull;
  for (const int row : {0, lattice.rows - 1})
    for (const int col : {0, lattice.cols - 1}) hull.emplace_back(cell_centre(lattice, row, col));
  const cv::Rect box = cv::boundingRect(hull) & cv::Rect({0, 0}, drawn.size());
  if (box.area() < 4) return 0;
  cv::matchTemplate(maps.centres(box), drawn(box), result, cv::TM_CCOEFF_NORMED);
  return result.at<float>(0);
}

}  // namespace

Lattice refine(const LatticeMaps& maps, Lattice lattice) {
  const double mid_u = (lattice.cols - 1) / 2.0, mid_v = (lattice.rows - 1) / 2.0;
  const double half = std::max(mid_u, mid_v);
  const cv::Matx33d to_unit(1 / half, 0, -mid_u / half, 0, 1 / half, -mid_v / half, 0, 0, 1);
  for (const double reach : {0.6, 0.6, 0.5, 0.5, 0.45, 0.45, 0.4, 0.4}) {
    const auto meetings = meet_all(maps, lattice, reach);
    if (meetings.size() < 9) return lattice;
    step(lattice, meetings, to_unit);
    step(lattice, meetings, to_unit);
  }
  return lattice;
}

double worst_gap(const Lattice& lattice, const std::array<cv::Point2d, 4>& corners) {
  const double left = std::min(0.0, lattice.odd_row_shift) - 0.5;
  const double right = lattice.cols - 0.5 + std::max(0.0, lattice.odd_row_shift);
  const cv::Point2d middle((left + right) / 2, (lattice.rows - 1) / 2.0);
  const std::array<cv::Point2d, 4> sides{cv::Point2d(middle.x, -0.5), cv::Point2d(right, middle.y),
                                         cv::Point2d(middle.x, lattice.rows - 0.5), cv::Point2d(left, middle.y)};
  double worst = 0;
  for (const cv::Point2d& side : sides) {
    const cv::Point2d at = undistort(lattice.lens, photo_point(lattice, side));
    const cv::Point2d inner = undistort(lattice.lens, photo_point(lattice, side + (middle - side) * (1 / cv::norm(middle - side))));
    const cv::Point2d outward = at - inner;  // one pitch long
    double nearest = 1e9;
    for (int i = 0; i < 4; ++i) {
      const cv::Point2d along = corners[(i + 1) % 4] - corners[i];
      const double step = outward.cross(along);
      if (std::abs(step) < 0.5 * cv::norm(outward) * cv::norm(along)) continue;  // this side runs the other way
      const double gap = (corners[i] - at).cross(along) / step;
      if (std::abs(gap) < std::abs(nearest)) nearest = gap;
    }
    if (std::abs(nearest) > std::abs(worst)) worst = nearest;
  }
  return worst;
}

Lattice follow_creep(const LatticeMaps& maps, Lattice lattice) {
  const int across = std::clamp(lattice.cols / 3 + 1, 2, 9), down = std::clamp(lattice.rows / 3 + 1, 2, 9);
  const cv::Rect2d extent(-0.5, -0.5, lattice.cols, lattice.rows);
  lattice.creep = {cv::Mat_<cv::Vec2d>(down, across, cv::Vec2d()), extent};
  for (const double reach : {0.5, 0.4, 0.4}) {
    const auto strays = strays_of(lattice, meet_all(maps, lattice, reach));
    for (int j = 0; j < down; ++j)
      for (int i = 0; i < across; ++i) {
        const cv::Point2d knot(extent.x + extent.width * i / (across - 1), extent.y + extent.height * j / (down - 1));
        lattice.creep.shift(j, i) += smooth_stray(strays, knot, std::max(lattice.cols / (across - 1.0), lattice.rows / (down - 1.0)));
      }
  }
  return lattice;
}

Agreement compare(const LatticeMaps& maps, const Lattice& lattice) {
  Agreement result;
  double square = 0, met = 0, inside = 0, heat = 0;
  const double cells = static_cast<double>(lattice.rows) * lattice.cols;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) {
      const cv::Point2d tray = tray_point(lattice, row, col), at = photo_point(lattice, tray);
      inside += look(maps.region, at) > 0.5;
      heat += look(maps.centres, at);
      const auto m = meet(maps, lattice, tray, 0.4);
      if (!m) continue;
      const double off = cv::norm(m->seen - at) / m->pitch;
      if (off > 0.25) continue;
      met += 1;
      square += off * off;
    }
  result.met = met / cells;
  result.inside = inside / cells;
  result.likeness = likeness_of(maps, lattice);
  result.residual = met > 0 ? std::sqrt(square / met) : 1;
  result.beyond = beyond_share(maps, lattice, heat / cells);
  return result;
}

}  // namespace braird::vision
