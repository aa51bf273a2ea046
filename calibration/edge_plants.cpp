// SPDX-License-Identifier: Apache-2.0
#include "calibration/edge_plants.h"

#include <algorithm>
#include <array>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

#include "calibration/finding_words.h"
#include "calibration/gap_map.h"
#include "calibration/interval.h"

namespace braird {
namespace {

constexpr int kFewestCells = 5;
constexpr double kRounding = 1e-15;  // of products of differences

// Plants of the seeds sown, cell by cell.
struct Cells {
  int cells = 0;
  double plants = 0, seeds = 0, sum = 0, squares = 0;

  void add(const CellCount& cell) {
    const double share = static_cast<double>(cell.seedlings) / cell.seeds;
    ++cells;
    plants += cell.seedlings;
    seeds += cell.seeds;
    sum += share;
    squares += share * share;
  }
  Cells operator+(const Cells& other) const {
    return {cells + other.cells, plants + other.plants, seeds + other.seeds, sum + other.sum,
            squares + other.squares};
  }
  double mean() const { return cells > 0 ? sum / cells : 0; }
  // Where all cells are alike, as if one had a plant more or less: a few that are alike leave it open by how much
  // others would differ.
  double variance_of_mean() const {
    const double plant = cells / seeds;
    return std::max(plant * plant, squares - sum * sum / cells) / (cells - 1) / cells;
  }
};

struct Compared {
  double less, error, freedom;  // by how much `one` has less come up than `other`, and its standard error
};

std::optional<Compared> compared(const Cells& one, const Cells& other) {
  if (std::min(one.cells, other.cells) < kFewestCells) return std::nullopt;
  const double own = one.variance_of_mean(), others = other.variance_of_mean(), both = own + others;
  return Compared{other.mean() - one.mean(), std::sqrt(both),
                  both * both / (own * own / (one.cells - 1) + others * others / (other.cells - 1))};
}

double p_value(const Compared& of) {
  using namespace boost::math::policies;  // a double is exact enough and several times as quick
  const boost::math::students_t_distribution<double, policy<promote_double<false>>> t(of.freedom);
  return 2 * boost::math::cdf(boost::math::complement(t, std::abs(of.less) / of.error));
}

Estimate estimate_of(const Compared& of) {
  const double reach = t_quantile(of.freedom, 0.95) * of.error;
  return {of.less, of.less - reach, of.less + reach, "Welch's t over cells"};
}

// 0: the first row, then clockwise; corners are the rows'.
int side_of(const Layout& layout, int at) {
  const int row = at / layout.cols, col = at % layout.cols;
  if (row == 0) return 0;
  if (row == layout.rows - 1) return 2;
  return col == 0 ? 3 : 1;
}

}  // namespace

std::optional<Finding> edge_plants(const TrayMap& tray) {
  Cells within;
  std::array<Cells, 4> sides;
  int most_seeds = 0;
  Finding finding;
  for (int at = 0; at < std::ssize(tray.cells); ++at) {
    const CellCount& cell = tray.cells[static_cast<std::size_t>(at)];
    if (cell.seeds < 1) continue;
    most_seeds = std::max(most_seeds, cell.seeds);
    const bool outermost = is_at_edge(tray.layout, at);
    (outermost ? sides[static_cast<std::size_t>(side_of(tray.layout, at))] : within).add(cell);
    if (outermost) finding.cells.push_back(at);
  }
  if (most_seeds < 2) return std::nullopt;
  const Cells edge = sides[0] + sides[1] + sides[2] + sides[3];
  const auto all = compared(edge, within);
  if (!all) return std::nullopt;
  const bool poorer = all->less > 0;
  std::ranges::sort(sides, [&](const Cells& one, const Cells& other) {
    if (one.cells == 0 || other.cells == 0) return one.cells > other.cells;  // of those nothing is known
    return poorer ? one.mean() > other.mean() : one.mean() < other.mean();
  });
  const auto least = compared(sides[0] + sides[1], within);
  if (!least || least->less * all->less < kRounding) return std::nullopt;
  finding.kind = FindingKind::edge;
  finding.place = "the edge";
  finding.p_value = p_value(*least);
  finding.difference = estimate_of(*all);
  finding.sentence =
      edge_plants_sentence(edge.plants / edge.cells, within.plants / within.cells, edge_cause(poorer));
  return finding;
}

}  // namespace braird
