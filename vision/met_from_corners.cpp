// SPDX-License-Identifier: Apache-2.0
#include "vision/met_from_corners.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <queue>

namespace braird::vision {
namespace {

constexpr double kMeets = 0.3;  // pitches from where its neighbours expect it at which a blob is a cell's
constexpr int kFar = 2;         // steps to the neighbours that are heeded

/// A cell and the blob that it would meet next.
struct Next {
  double promise;
  cv::Point cell;
  Meeting meeting;
  cv::Point2d off;  ///< in cells, from where the lattice has it
  bool operator<(const Next& other) const { return promise < other.promise; }
};

struct Expected {
  cv::Point2d off;
  int support = 0;  ///< neighbours that are met, of eight
};

class Growth {
 public:
  Growth(const LatticeMaps& maps, const Lattice& lattice)
      : maps_(maps),
        lattice_(lattice),
        off_(lattice.rows, lattice.cols),
        weight_(lattice.rows, lattice.cols, 0.0) {
    for (const int row : {0, lattice.rows - 1})
      for (const int col : {0, lattice.cols - 1}) begin({col, row});
    while (!next_.empty()) {
      const Next next = next_.top();
      next_.pop();
      if (weight_(next.cell) > 0) continue;
      met_.push_back(next.meeting);
      place(next.cell, next.off, next.meeting.weight);
    }
  }

  std::vector<Meeting> met() const { return met_; }

  /// Of 58 painted trays looked at through their own corners none was torn (but one whose cells no one sees), of
  /// 174 looked at with a row or column too many or too few all but eight, most of these as hard to see.
  bool torn() const {
    constexpr double kTear = 0.5, kStrain = 0.3;  // cells
    int tears = 0, strains = 0, pairs = 0;
    for (int row = 0; row < weight_.rows; ++row)
      for (int col = 0; col < weight_.cols; ++col)
        for (const cv::Point step : {cv::Point(1, 0), cv::Point(0, 1)}) {
          const auto next = next_met({col, row}, step);
          if (!is_met({col, row}) || !next) continue;
          const double jump = cv::norm(off_(*next) - off_(row, col));
          tears += jump > kTear, strains += jump > kStrain, ++pairs;
        }
    return tears > 1 || strains > 1 + pairs / 100;
  }

 private:
  /// A corner cell stands where it was stated, whether or not a blob shows it.
  void begin(cv::Point corner) {
    constexpr double kStated = 0.3;
    if (const auto next = meeting_of(corner, {})) {
      met_.push_back(next->meeting);
      place(corner, next->off, next->meeting.weight);
    } else {
      place(corner, {}, kStated);
    }
  }

  void place(cv::Point cell, cv::Point2d off, double weight) {
    off_(cell) = off;
    weight_(cell) = weight;
    for (int j = -kFar; j <= kFar; ++j)
      for (int i = -kFar; i <= kFar; ++i)
        if (std::abs(i) + std::abs(j) <= kFar) consider(cell + cv::Point(i, j));
  }

  /// The next cell that is met, or the one after it.
  std::optional<cv::Point> next_met(cv::Point cell, cv::Point step) const {
    for (const int far : {1, 2}) {
      const cv::Point next = cell + far * step;
      if (is_met(next)) return next;
    }
    return std::nullopt;
  }

  bool is_met(cv::Point cell) const { return cell.inside({{0, 0}, weight_.size()}) && weight_(cell) > 0; }

  void consider(cv::Point cell) {
    if (!cell.inside({{0, 0}, weight_.size()}) || weight_(cell) > 0) return;
    const Expected expected = expect(cell);
    if (auto next = meeting_of(cell, expected.off)) {
      next->promise += expected.support;
      next_.push(*next);
    }
  }

  std::optional<Next> meeting_of(cv::Point cell, cv::Point2d expected) const {
    const cv::Point2d tray = tray_point(lattice_, cell.y, cell.x);
    const Spot spot{tray, photo_point(lattice_, tray + expected), pitch_at(lattice_, tray)};
    const auto meeting = meet(maps_, spot, kMeets);
    if (!meeting) return std::nullopt;
    const double far = cv::norm(meeting->seen - spot.at) / spot.pitch;
    if (far > kMeets) return std::nullopt;
    return Next{meeting->weight - 6 * far, cell, *meeting, strays_of(lattice_, {*meeting})[0].off};
  }

  /// A plane through the strays of the neighbours, held level.
  Expected expect(cv::Point cell) const {
    constexpr double kHeld = 1.5;
    cv::Matx33d normal = cv::Matx33d::diag({1e-9, kHeld, kHeld});
    cv::Matx<double, 3, 2> right = cv::Matx<double, 3, 2>::zeros();
    Expected result;
    for (int j = -kFar; j <= kFar; ++j)
      for (int i = -kFar; i <= kFar; ++i) {
        const cv::Point near = cell + cv::Point(i, j);
        if (!is_met(near)) continue;
        result.support += std::max(std::abs(i), std::abs(j)) == 1;
        const cv::Vec3d d(1, i, j);
        const double weight = weight_(near) / (i * i + j * j);
        normal += weight * d * d.t();
        right += weight * d * cv::Matx12d(off_(near).x, off_(near).y);
      }
    const cv::Matx<double, 3, 2> plane = normal.inv() * right;
    result.off = {plane(0, 0), plane(0, 1)};
    return result;
  }

  const LatticeMaps& maps_;
  const Lattice& lattice_;
  cv::Mat_<cv::Point2d> off_;
  cv::Mat1d weight_;  ///< 0: not met yet
  std::vector<Meeting> met_;
  std::priority_queue<Next> next_;
};

}  // namespace

MetFromCorners meet_from_corners(const LatticeMaps& maps, const Lattice& lattice) {
  const Growth growth(maps, lattice);
  return {growth.met(), growth.torn()};
}

}  // namespace braird::vision
