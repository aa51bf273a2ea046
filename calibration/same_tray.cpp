// SPDX-License-Identifier: Apache-2.0
#include "calibration/same_tray.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

namespace braird {
namespace {

constexpr double kEnough = 18, kLead = 10, kLeadIfSame = 6;  // nats
constexpr double kMostCorrelated = 0.999;   // keeps copies of one photo finite
constexpr int kFewestCells = 12;

struct Pair {
  int row, col;
  double first, second;
};

double occupied(const Cell& cell) {
  return cell.probability.empty() ? (cell.count > 0 ? 1 : 0) : 1 - cell.probability[0];
}

// Takes the mean of each group off, `group_of` telling the groups 0, 1, ….
void take_off_means(std::vector<Pair>& pairs, int Pair::*group_of) {
  int groups = 0;
  for (const Pair& pair : pairs) groups = std::max(groups, pair.*group_of + 1);
  for (double Pair::*value : {&Pair::first, &Pair::second}) {
    std::vector<double> sum(static_cast<std::size_t>(groups)), many(sum);
    for (const Pair& pair : pairs) {
      sum[static_cast<std::size_t>(pair.*group_of)] += pair.*value;
      ++many[static_cast<std::size_t>(pair.*group_of)];
    }
    for (Pair& pair : pairs) {
      const auto at = static_cast<std::size_t>(pair.*group_of);
      pair.*value -= sum[at] / many[at];
    }
  }
}

// Twice over, which leaves next to nothing of rows and columns also where cells are missing. The cells that
// the means used up are taken off n.
double nats(std::vector<Pair> pairs, const Layout& layout) {
  const double n = static_cast<double>(std::ssize(pairs)) - layout.rows - layout.cols + 1;
  if (n < kFewestCells) return 0;
  for (int round = 0; round < 2; ++round) {
    take_off_means(pairs, &Pair::row);
    take_off_means(pairs, &Pair::col);
  }
  double both = 0, first = 0, second = 0;
  for (const Pair& pair : pairs) {
    both += pair.first * pair.second;
    first += pair.first * pair.first;
    second += pair.second * pair.second;
  }
  if (first < 1e-9 || second < 1e-9) return 0;
  const double r = std::min(both / std::sqrt(first * second), kMostCorrelated);
  return r > 0 ? -n / 2 * std::log(1 - r * r) : 0;
}

using Value = std::function<std::optional<double>(const Cell&)>;

double alike(const Tray& first, const Tray& second, const Value& value) {
  std::vector<Pair> pairs;
  for (std::size_t at = 0; at < first.cells.size(); ++at) {
    const auto one = value(first.cells[at]), other = value(second.cells[at]);
    if (one && other) pairs.push_back({first.cells[at].row, first.cells[at].col, *one, *other});
  }
  return nats(std::move(pairs), first.layout);
}

double evidence(const Tray& first, const Tray& second) {
  const auto place = [](double Point::*axis) {
    return [axis](const Cell& cell) {
      return cell.plant && occupied(cell) > 0.5 ? std::optional((*cell.plant).*axis) : std::nullopt;
    };
  };
  return alike(first, second, [](const Cell& cell) { return std::optional(occupied(cell)); }) +
         alike(first, second, place(&Point::x)) + alike(first, second, place(&Point::y));
}

}  // namespace

Tray half_turned(const Tray& tray) {
  Tray turned = tray;
  std::ranges::rotate(turned.corners_px, turned.corners_px.begin() + 2);
  std::ranges::reverse(turned.cells);
  for (Cell& cell : turned.cells) {
    cell.row = tray.layout.rows - 1 - cell.row;
    cell.col = tray.layout.cols - 1 - cell.col;
    if (cell.plant) cell.plant = Point{-cell.plant->x, -cell.plant->y};
  }
  return turned;
}

TrayMatch match_trays(const Tray& first, const Tray& second) {
  TrayMatch match;
  const Layout &one = first.layout, &other = second.layout;
  if (one.rows != other.rows || one.cols != other.cols || one.lattice != other.lattice) return match;
  match.upright = evidence(first, second);
  match.turned = evidence(first, half_turned(second));
  if (match.upright > kEnough && match.upright > match.turned + kLead) match.verdict = SameTray::same;
  if (match.turned > kEnough && match.turned > match.upright + kLead) match.verdict = SameTray::turned;
  return match;
}

SameTray way_round(const Tray& first, const Tray& second) {
  const TrayMatch match = match_trays(first, second);
  if (match.upright > match.turned + kLeadIfSame) return SameTray::same;
  return match.turned > match.upright + kLeadIfSame ? SameTray::turned : SameTray::unsure;
}

}  // namespace braird
