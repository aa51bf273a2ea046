// SPDX-License-Identifier: Apache-2.0
#include "calibration/same_tray.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace braird {
namespace {

constexpr double kEnough = 18, kLead = 10, kLeadIfSame = 6;  // nats
constexpr double kMostCorrelated = 0.999;                    // keeps copies of one photo finite
constexpr int kFewestCells = 12;

/// What tells a tray: for each cell, row by row, a value in each photo, or nothing in one of them.
struct Pattern {
  std::vector<double> value;
  std::vector<bool> there;
};

struct Fingerprint {
  Pattern occupied, along, across;
};

double chance_occupied(const Cell& cell) {
  return cell.probability.empty() ? (cell.count > 0 ? 1 : 0) : 1 - cell.probability[0];
}

void add(Pattern& pattern, bool there, double value) {
  pattern.value.push_back(value);
  pattern.there.push_back(there);
}

Fingerprint fingerprint(const Tray& tray) {
  Fingerprint print;
  for (const Cell& cell : tray.cells) {
    const double occupied = chance_occupied(cell);
    const bool placed = cell.plant && occupied > 0.5;
    add(print.occupied, true, occupied);
    add(print.along, placed, placed ? cell.plant->x : 0);
    add(print.across, placed, placed ? cell.plant->y : 0);
  }
  return print;
}

/// The same from the opposite corner; `sign` -1 for places.
Pattern reversed(Pattern pattern, double sign) {
  std::ranges::reverse(pattern.value);
  std::reverse(pattern.there.begin(), pattern.there.end());
  for (double& value : pattern.value) value *= sign;
  return pattern;
}

Fingerprint reversed(const Fingerprint& print) {
  return {reversed(print.occupied, 1), reversed(print.along, -1), reversed(print.across, -1)};
}

/// Takes the mean of each row off, then that of each column; where `there` is false nothing is read or
/// changed.
void take_off_means(std::vector<double>& value, const std::vector<bool>& there, const Layout& layout) {
  const auto off = [&](std::size_t groups, std::size_t each, std::size_t group_step, std::size_t step) {
    for (std::size_t group = 0; group < groups; ++group) {
      double sum = 0, many = 0;
      for (std::size_t at = 0; at < each; ++at)
        if (const std::size_t place = group * group_step + at * step; there[place]) {
          sum += value[place];
          ++many;
        }
      for (std::size_t at = 0; many > 0 && at < each; ++at)
        value[group * group_step + at * step] -= sum / many;
    }
  };
  const auto rows = static_cast<std::size_t>(layout.rows), cols = static_cast<std::size_t>(layout.cols);
  off(rows, cols, cols, 1);
  off(cols, rows, 1, cols);
}

/// Twice over, which leaves next to nothing of rows and columns also where cells are missing. The cells that
/// the means used up are taken off n.
double nats(Pattern one, const Pattern& two, const Layout& layout) {
  for (std::size_t at = 0; at < one.there.size(); ++at) one.there[at] = one.there[at] && two.there[at];
  const double n = static_cast<double>(std::ranges::count(one.there, true)) - layout.rows - layout.cols + 1;
  if (n < kFewestCells) return 0;
  std::vector<double> other = two.value;
  for (int round = 0; round < 2; ++round) {
    take_off_means(one.value, one.there, layout);
    take_off_means(other, one.there, layout);
  }
  double both = 0, first = 0, second = 0;
  for (std::size_t at = 0; at < other.size(); ++at) {
    if (!one.there[at]) continue;
    both += one.value[at] * other[at];
    first += one.value[at] * one.value[at];
    second += other[at] * other[at];
  }
  if (first < 1e-9 || second < 1e-9) return 0;
  const double r = std::min(both / std::sqrt(first * second), kMostCorrelated);
  return r > 0 ? -n / 2 * std::log(1 - r * r) : 0;
}

double evidence(const Fingerprint& one, const Fingerprint& two, const Layout& layout) {
  return nats(one.occupied, two.occupied, layout) + nats(one.along, two.along, layout) +
         nats(one.across, two.across, layout);
}

}  // namespace

Tray half_turned(const Tray& tray) {
  Tray turned = tray;
  std::rotate(turned.corners_px.begin(), turned.corners_px.begin() + 2, turned.corners_px.end());
  std::ranges::reverse(turned.cells);
  for (Cell& cell : turned.cells) {
    cell.row = tray.layout.rows - 1 - cell.row;
    cell.col = tray.layout.cols - 1 - cell.col;
    if (cell.plant) cell.plant = Point{-cell.plant->x, -cell.plant->y};
  }
  return turned;
}

Tray quarter_turned(const Tray& tray) {
  Tray turned = tray;
  std::swap(turned.layout.rows, turned.layout.cols);
  std::rotate(turned.corners_px.begin(), turned.corners_px.begin() + 1, turned.corners_px.end());
  auto now = turned.cells.begin();
  for (int row = 0; row < turned.layout.rows; ++row)
    for (int col = 0; col < turned.layout.cols; ++col, ++now) {
      *now = cell_at(tray, col, tray.layout.cols - 1 - row);
      now->row = row, now->col = col;
      if (now->plant) now->plant = Point{now->plant->y, -now->plant->x};
    }
  return turned;
}

TrayMatch match_trays(const Tray& first, const Tray& second, const MoreEvidence& more) {
  TrayMatch match;
  const Layout& layout = first.layout;
  if (layout != second.layout) return match;
  const Fingerprint print = fingerprint(first), second_print = fingerprint(second);
  match.upright = evidence(print, second_print, layout) + more.upright;
  match.turned = evidence(print, reversed(second_print), layout) + more.turned;
  if (match.upright > kEnough && match.upright > match.turned + kLead) match.verdict = SameTray::same;
  if (match.turned > kEnough && match.turned > match.upright + kLead) match.verdict = SameTray::turned;
  return match;
}

SameTray way_round(const Tray& first, const Tray& second, const MoreEvidence& more) {
  const TrayMatch match = match_trays(first, second, more);
  if (match.upright > match.turned + kLeadIfSame) return SameTray::same;
  return match.turned > match.upright + kLeadIfSame ? SameTray::turned : SameTray::unsure;
}

}  // namespace braird
