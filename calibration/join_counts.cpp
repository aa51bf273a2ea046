// SPDX-License-Identifier: Apache-2.0
#include "calibration/join_counts.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "calibration/require.h"

namespace braird {
namespace {

using Steps = std::vector<std::pair<int, int>>;  // (rows down, columns right) to the cells that come later

Steps later_neighbours(Contact contact, bool odd_row) {
  Steps straight = {{0, 1}, {1, 0}}, diagonal = {{1, -1}, {1, 1}};
  switch (contact) {
    case Contact::rook:
      return straight;
    case Contact::bishop:
      return diagonal;
    case Contact::queen:
      return {{0, 1}, {1, -1}, {1, 0}, {1, 1}};
    case Contact::six:
      break;
  }
  return odd_row ? Steps{{0, 1}, {1, 0}, {1, 1}} : Steps{{0, 1}, {1, -1}, {1, 0}};
}

// n (n − 1) … of `terms` factors.
double falling(double n, int terms) {
  double product = 1;
  for (int k = 0; k < terms; ++k) product *= n - k;
  return product;
}

// What the moments of any join count depend on.
struct Web {
  std::vector<std::pair<int, int>> joins;  // between labelled cells
  double cells = 0;
  double sharing = 0;  // ordered pairs of joins with one cell in common
  std::map<int, double> of_label;

  double apart() const {  // ordered pairs of joins with no cell in common
    const double all = static_cast<double>(joins.size());
    return all * all - all - sharing;
  }
};

std::vector<std::pair<int, int>> pairs_of(std::span<const int> labels, const Layout& layout,
                                          Contact contact) {
  require(labels.size() == number_of_cells(layout), "number of labels", labels.size(), "rows × columns");
  return joins(layout, contact);
}

Web web(std::span<const int> labels, std::span<const std::pair<int, int>> pairs) {
  Web web;
  std::vector<double> degree(labels.size());
  for (const auto& [from, to] : pairs) {
    require(std::min(from, to) >= 0 && std::max(from, to) < std::ssize(labels), "place of a joined cell",
            std::max(from, to), "in the list");
    if (labels[static_cast<std::size_t>(from)] < 0 || labels[static_cast<std::size_t>(to)] < 0) continue;
    web.joins.emplace_back(from, to);
    ++degree[static_cast<std::size_t>(from)];
    ++degree[static_cast<std::size_t>(to)];
  }
  for (const double d : degree) web.sharing += d * (d - 1);
  for (const int label : labels)
    if (label >= 0) ++web.of_label[label], ++web.cells;
  require(web.cells >= 4, "number of cells", web.cells, "≥ 4");
  return web;
}

// Chances that one join counts, that two joins in a common cell both do, and that two apart both do.
struct JoinChances {
  double one = 0, sharing = 0, apart = 0;
};

JoinCount judged(double seen, const Web& web, const JoinChances& chance) {
  const double all = static_cast<double>(web.joins.size());
  JoinCount count;
  count.seen = seen;
  count.expected.mean = all * chance.one;
  const double square = all * chance.one + web.sharing * chance.sharing + web.apart() * chance.apart;
  count.expected.variance = std::max(0.0, square - count.expected.mean * count.expected.mean);
  if (count.expected.variance > 0)
    count.z = (seen - count.expected.mean) / std::sqrt(count.expected.variance);
  return count;
}

JoinChances like_chances(double of_label, double cells) {
  return {falling(of_label, 2) / falling(cells, 2), falling(of_label, 3) / falling(cells, 3),
          falling(of_label, 4) / falling(cells, 4)};
}

JoinChances mixed_chances(double a, double b, double cells) {
  return {2 * a * b / falling(cells, 2), a * b * (a + b - 2) / falling(cells, 3),
          4 * falling(a, 2) * falling(b, 2) / falling(cells, 4)};
}

// Each cell draws its label alone: p and q are the chances of a and b.
JoinChances free_chances(double p, double q, bool alike) {
  if (alike) return {p * p, p * p * p, p * p * p * p};
  return {2 * p * q, p * q * (p + q), 4 * p * p * q * q};
}

JoinChances unlike_chances(const Web& web) {
  double like = 0, like_sharing = 0, like_apart = 0;
  for (const auto& [label, many] : web.of_label) {
    like += falling(many, 2) / falling(web.cells, 2);
    like_sharing += falling(many, 3) / falling(web.cells, 3);
    for (const auto& [other, others] : web.of_label)
      like_apart +=
          (label == other ? falling(many, 4) : falling(many, 2) * falling(others, 2)) / falling(web.cells, 4);
  }
  return {1 - like, 1 - 2 * like + like_sharing, 1 - 2 * like + like_apart};
}

template <typename Counts>
double count_joins(std::span<const int> labels, const Web& web, Counts counts) {
  return static_cast<double>(std::ranges::count_if(web.joins, [&](const auto& join) {
    return counts(labels[static_cast<std::size_t>(join.first)],
                  labels[static_cast<std::size_t>(join.second)]);
  }));
}

// Before each filled cell and after the last lie so many empty ones, in any way: the chances for each of these
// places, added up.
double most_chance_of_run(int length, int empty, int cells) {
  const double filled = cells - empty;
  const double log_of_one = std::lgamma(cells - length + 1.) - std::lgamma(empty - length + 1.) -
                            std::lgamma(cells + 1.) + std::lgamma(empty + 1.);
  return std::min(1.0, (filled + 1) * std::exp(log_of_one));
}

}  // namespace

std::vector<std::pair<int, int>> joins(const Layout& layout, Contact contact) {
  require(layout.rows >= 1 && layout.cols >= 1, "rows or columns", std::min(layout.rows, layout.cols), "≥ 1");
  std::vector<std::pair<int, int>> pairs;
  for (int row = 0; row < layout.rows; ++row)
    for (const auto& [down, right] : later_neighbours(contact, row % 2 == 1))
      for (int col = std::max(0, -right); col < layout.cols - std::max(0, right); ++col)
        if (row + down < layout.rows)
          pairs.emplace_back(row * layout.cols + col, (row + down) * layout.cols + col + right);
  return pairs;
}

Contact touching(LatticeKind lattice) {
  return lattice == LatticeKind::square ? Contact::rook : Contact::six;
}

JoinCount join_count(std::span<const int> labels, std::span<const std::pair<int, int>> pairs, int a, int b,
                     Sampling sampling) {
  Web of = web(labels, pairs);
  const double seen = count_joins(
      labels, of, [&](int one, int other) { return (one == a && other == b) || (one == b && other == a); });
  const double as = of.of_label[a], bs = of.of_label[b];
  if (sampling == Sampling::free) return judged(seen, of, free_chances(as / of.cells, bs / of.cells, a == b));
  return judged(seen, of, a == b ? like_chances(as, of.cells) : mixed_chances(as, bs, of.cells));
}

JoinCount join_count(std::span<const int> labels, const Layout& layout, Contact contact, int a, int b) {
  return join_count(labels, pairs_of(labels, layout, contact), a, b);
}

JoinCount unlike_joins(std::span<const int> labels, const Layout& layout, Contact contact) {
  return unlike_joins(labels, pairs_of(labels, layout, contact));
}

JoinCount unlike_joins(std::span<const int> labels, std::span<const std::pair<int, int>> pairs) {
  const Web of = web(labels, pairs);
  const double seen = count_joins(labels, of, [](int one, int other) { return one != other; });
  return judged(seen, of, unlike_chances(of));
}

JoinCount runs_test(std::span<const int> sequence) {
  require(!sequence.empty(), "length of the sequence", sequence.size(), "> 0");
  JoinCount runs;
  runs.seen = 1;
  double ones = 0;
  for (std::size_t at = 0; at < sequence.size(); ++at) {
    ones += sequence[at] != 0;
    runs.seen += at > 0 && (sequence[at] != 0) != (sequence[at - 1] != 0);
  }
  const double all = static_cast<double>(sequence.size()), pairs = 2 * ones * (all - ones);
  runs.expected.mean = pairs / all + 1;
  if (all > 1) runs.expected.variance = pairs * (pairs - all) / (all * all * (all - 1));
  if (runs.expected.variance > 0)
    runs.z = (runs.seen - runs.expected.mean) / std::sqrt(runs.expected.variance);
  return runs;
}

double chance_of_run(int length, int empty, int cells) {
  require(length >= 1, "length of the run", length, "≥ 1");
  require(empty >= 0 && empty <= cells, "empty cells", empty, "between 0 and all cells");
  constexpr double kMostSteps = 1e8;  // hundreds of times what a tray of 264 cells takes
  if (length <= empty && 1.0 * (cells - empty) * empty * length > kMostSteps)
    return most_chance_of_run(length, empty, cells);
  // chance[e]: that of a run among e empty and so many filled cells in any order, by how many empty ones
  // lead. Every term is positive, so that no digits are lost.
  std::vector<double> chance;
  for (int e = 0; e <= empty; ++e) chance.push_back(e >= length ? 1 : 0);
  for (int filled = 1; filled <= cells - empty; ++filled)
    for (int e = empty; e >= length; --e) {
      double lead = 1, sum = 0;  // lead: chance of at least so many in front
      for (int k = 0; k < length; ++k) {
        const double stop = filled / static_cast<double>(e - k + filled);
        sum += lead * stop * chance[static_cast<std::size_t>(e - k)];
        lead *= 1 - stop;
      }
      chance[static_cast<std::size_t>(e)] = sum + lead;
    }
  return std::min(1.0, chance.back());  // sums may round beyond 1
}

}  // namespace braird
