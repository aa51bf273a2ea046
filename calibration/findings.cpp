// SPDX-License-Identifier: Apache-2.0
#include "calibration/findings.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <iterator>
#include <utility>

#include "calibration/edge_plants.h"
#include "calibration/finding_words.h"
#include "calibration/gap_blocks.h"
#include "calibration/gap_map.h"
#include "calibration/join_counts.h"
#include "calibration/multiple_tests.h"
#include "calibration/require.h"

namespace braird {
namespace {

/// A part of the tray: its figures, and where its cells are.
struct Region : Part {
  std::vector<int> places;
};

template <typename Belongs>
Region part_of(const GapMap& gaps, Belongs belongs) {
  Region part;
  part.cells = gaps.cells;
  part.empty = gaps.empty;
  for (int row = 0; row < gaps.layout.rows; ++row)
    for (int col = 0; col < gaps.layout.cols; ++col) {
      if (gaps.at(row, col) < 0 || !belongs(row, col)) continue;
      ++part.part_cells;
      part.part_empty += gaps.at(row, col);
      part.places.push_back(row * gaps.layout.cols + col);
    }
  return part;
}

Estimate difference_of(const Part& part) {
  const Share here{static_cast<double>(part.part_empty), static_cast<double>(part.part_cells)};
  const Share rest{static_cast<double>(part.empty - part.part_empty),
                   static_cast<double>(part.cells - part.part_cells)};
  const Interval limits = newcombe_difference(here, rest);
  return {here.count / here.n - rest.count / rest.n, limits.low, limits.high, "Newcombe's method 10"};
}

// Nothing where the part is the whole tray, or holds no known cell.
std::optional<Finding> part_finding(FindingKind kind, const Region& part, std::string place,
                                    const std::string& cause, const std::string& rest = "the rest") {
  if (part.part_cells == 0 || part.part_cells == part.cells) return std::nullopt;
  Finding finding;
  finding.kind = kind;
  finding.place = std::move(place);
  finding.p_value = chance_of_more(part);
  finding.difference = difference_of(part);
  finding.sentence = part_sentence(finding.place, part, cause, rest);
  finding.cells = part.places;
  return finding;
}

void add(std::vector<Finding>& to, std::optional<Finding> finding) {
  if (finding) to.push_back(std::move(*finding));
}

void ask_edge(const GapMap& gaps, std::vector<Finding>& looks) {
  const Layout& layout = gaps.layout;
  const Region edge =
      part_of(gaps, [&](int row, int col) { return is_at_edge(layout, row * layout.cols + col); });
  auto finding = part_finding(FindingKind::edge, edge, "the edge", "");
  if (!finding) return;
  const bool poorer = finding->difference->estimate > 0;
  finding->p_value = std::min(1.0, 2 * std::min(chance_of_more(edge), chance_of_fewer(edge)));
  finding->sentence = part_sentence(finding->place, edge, edge_cause(poorer));
  looks.push_back(std::move(*finding));
}

std::optional<Finding> line_finding(const TrayMap& tray, const GapMap& gaps, FindingKind kind, int line,
                                    const std::string& rest) {
  const bool is_row = kind == FindingKind::row;
  const int last = (is_row ? tray.layout.rows : tray.layout.cols) - 1;
  const Region part = part_of(gaps, [&](int row, int col) { return (is_row ? row : col) == line; });
  const bool outermost = line == 0 || line == last;
  return part_finding(kind, part, fmt::format("{} {}", name_of(kind), line + tray.first_number),
                      line_cause(kind, part, outermost, tray.from_photo), rest);
}

void ask_lines(const TrayMap& tray, const GapMap& gaps, std::vector<Finding>& looks) {
  for (int row = 0; row < tray.layout.rows; ++row)
    add(looks, line_finding(tray, gaps, FindingKind::row, row, "the rest"));
  for (int col = 0; col < tray.layout.cols; ++col)
    add(looks, line_finding(tray, gaps, FindingKind::column, col, "the rest"));
}

// A corner is a third of the rows by a third of the columns.
void ask_corners(const GapMap& gaps, std::vector<Finding>& looks) {
  const Layout& layout = gaps.layout;
  const int deep = (layout.rows + 2) / 3, wide = (layout.cols + 2) / 3;
  for (const bool last_rows : {false, true})
    for (const bool last_cols : {false, true}) {
      const Region part = part_of(gaps, [&](int row, int col) {
        return (last_rows ? layout.rows - 1 - row : row) < deep &&
               (last_cols ? layout.cols - 1 - col : col) < wide;
      });
      add(looks, part_finding(FindingKind::corner, part, corner_name(last_rows, last_cols), corner_cause()));
    }
}

void ask_clumps(const GapMap& gaps, std::vector<Finding>& looks) {
  if (gaps.cells < 4 || gaps.empty < 2) return;
  const LatticeKind lattice = gaps.layout.lattice;
  const auto ask = [&](Contact contact) {
    const JoinCount joined = join_count(gaps.labels, gaps.layout, contact, 1, 1);
    Finding finding;
    finding.kind = FindingKind::clump;
    finding.place = "clumps";
    finding.sentence = clump_sentence(joined);
    finding.p_value = chance_of_at_least(joined.seen, joined.expected);
    looks.push_back(std::move(finding));
  };
  ask(touching(lattice));
  if (lattice == LatticeKind::square) ask(Contact::queen);
}

void tell_where(const TrayMap& tray, const GapMap& gaps, Finding& clump) {
  const auto block = poorest_block(gaps);
  if (!block) return;
  const auto& [top, bottom, left, right] = *block;
  const int first = tray.first_number;
  const Region part = part_of(gaps, [&](int row, int col) {
    return row >= block->top && row < block->bottom && col >= block->left && col < block->right;
  });
  clump.place = fmt::format("rows {} to {}, columns {} to {}", top + first, bottom - 1 + first, left + first,
                            right - 1 + first);
  clump.sentence += " " + clump_place_sentence(clump.place, part);
  clump.cells = part.places;
}

// Within an edge that suffers, a line may suffer more.
std::vector<Finding> lines_of_edge(const TrayMap& tray, double level) {
  const std::array<std::pair<FindingKind, int>, 4> lines = {{{FindingKind::row, 0},
                                                             {FindingKind::row, tray.layout.rows - 1},
                                                             {FindingKind::column, 0},
                                                             {FindingKind::column, tray.layout.cols - 1}}};
  TrayMap edge = tray;
  for (int at = 0; at < std::ssize(edge.cells); ++at)
    if (!is_at_edge(tray.layout, at)) edge.cells[static_cast<std::size_t>(at)] = {0, 0};
  const GapMap gaps = gap_map(edge);
  std::vector<Finding> looks;
  for (const auto& [kind, line] : lines)
    add(looks, line_finding(tray, gaps, kind, line, "the rest of the edge"));
  return adjusted_below(std::move(looks), holm, level);
}

void ask_runs(const TrayMap& tray, const GapMap& gaps, std::vector<Finding>& looks) {
  const Run run = longest_run(gaps);
  if (run.length < 2) return;
  Finding finding;
  finding.kind = FindingKind::run;
  finding.place = "from " + place_name(tray, run.start) + " on";
  finding.sentence = run_sentence(run.length, finding.place);
  finding.p_value = chance_of_run(run.length, gaps.empty, gaps.cells);
  for (int at = run.start; std::ssize(finding.cells) < run.length; ++at)
    if (gaps.labels[static_cast<std::size_t>(at)] == 1) finding.cells.push_back(at);
  looks.push_back(std::move(finding));
}

bool is_line(const Finding& finding) {
  return finding.kind == FindingKind::row || finding.kind == FindingKind::column;
}

bool is_general(const Finding& finding) {
  return finding.kind == FindingKind::clump || finding.kind == FindingKind::run;
}

// A clump or a run is said only where no named place explains it; a line not where something wider does.
std::optional<Finding> most_telling(const TrayMap& tray, double level) {
  const GapMap gaps = gap_map(tray);
  std::vector<Finding> looks;
  add(looks, edge_plants(tray));
  if (gaps.empty > 0 && gaps.empty < gaps.cells) {
    ask_edge(gaps, looks);
    ask_lines(tray, gaps, looks);
    ask_corners(gaps, looks);
    ask_clumps(gaps, looks);
    ask_runs(tray, gaps, looks);
  }
  looks = adjusted_below(std::move(looks), holm, level);
  std::erase_if(looks, [&](const Finding& look) { return is_line(look) && lies_in_more(gaps, look.cells); });
  if (looks.empty()) return std::nullopt;
  const auto named = std::ranges::find_if_not(looks, is_general);
  Finding& next = named != looks.end() ? *named : looks.front();
  if (next.kind == FindingKind::clump) tell_where(tray, gaps, next);
  return std::move(next);
}

}  // namespace

const char* name_of(FindingKind kind) {
  constexpr std::array names = {"edge", "row", "column", "corner", "clump", "run", "repeated place"};
  return names[static_cast<std::size_t>(kind)];
}

TrayMap tray_map(const Tray& tray, int seeds_per_cell, std::string name) {
  TrayMap map;
  map.name = std::move(name);
  map.layout = tray.layout;
  map.cells = cell_counts(tray, seeds_per_cell);
  map.from_photo = true;
  gap_map(map);  // refuses cells that don't fit
  return map;
}

std::vector<Finding> find_patterns(const TrayMap& tray, double level) {
  require(level > 0 && level < 1, "level", level, "between 0 and 1");
  std::vector<Finding> found;
  // Each cause once: cells of a place that was named are set aside before the rest is looked at.
  TrayMap rest = tray;
  while (auto next = most_telling(rest, level)) {
    if (is_general(*next) && !std::ranges::all_of(found, is_line)) break;
    const bool poor_edge = next->kind == FindingKind::edge && next->difference->estimate > 0;
    auto within = poor_edge ? lines_of_edge(rest, level) : std::vector<Finding>();
    for (const int cell : next->cells) rest.cells[static_cast<std::size_t>(cell)] = {0, 0};
    const bool last = next->kind == FindingKind::run || next->cells.empty();
    found.push_back(std::move(*next));
    std::ranges::move(within, std::back_inserter(found));
    if (last) break;
  }
  for (Finding& finding : found) {
    finding.tray = tray.name;
    finding.layout = tray.layout;
  }
  return found;
}

}  // namespace braird
