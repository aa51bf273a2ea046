// SPDX-License-Identifier: Apache-2.0
#include "vision/butted.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "vision/lattice_choice.h"
#include "vision/lattice_trouble.h"

namespace braird::vision {
namespace {

constexpr double kLongest = 4;  // times as long as wide a tray is at most
// Least chance that a tray ends at a line, and where trays of a stated size, or of one make, would meet. Of
// 2,339 lines within painted trays none had more than 0.05; in 1,350 other photos one of one make had 0.07.
constexpr double kEnds = 0.3, kEndsWhereLikely = 0.1;
constexpr int kMostHalving = 3;  // parts of one make

int rows_across(const Lattice& lattice, bool upright) {
  return upright ? lattice.cols : lattice.rows;
}

Layout first_part(const Lattice& lattice, const InnerLine& line) {
  Layout part = layout_of(lattice);
  (line.upright ? part.cols : part.rows) = line.before;
  return part;
}

bool looks_like_a_tray(const Layout& layout) {
  const auto [fewer, more] = std::minmax(layout.rows, layout.cols);
  return fewer >= kFewestRows && more <= kLongest * fewer;
}

/// Lines that leave parts of the stated size.
std::vector<InnerLine> lines_as_stated(const Lattice& lattice, int rows, int cols) {
  std::vector<InnerLine> lines;
  for (const bool upright : {true, false}) {
    const int all = rows_across(lattice, upright);
    std::set<int> places;
    for (const int size : {rows, cols})
      for (const int before : {size, all - size})
        if (before >= kFewestRows && before <= all - kFewestRows) places.insert(before);
    for (const int before : places) lines.push_back({upright, before});
  }
  return lines;
}

/// Lines that leave trays of one make. Those in the list of trays are hardly two that aren't.
std::vector<InnerLine> lines_of_one_make(const Lattice& lattice, const std::vector<Layout>& known) {
  std::vector<InnerLine> lines;
  const bool listed = is_listed(layout_of(lattice), known);
  for (const bool upright : {true, false})
    for (int parts = 2; parts <= kMostHalving; ++parts) {
      const int all = rows_across(lattice, upright);
      const InnerLine line{upright, all / parts};
      const Layout part = first_part(lattice, line);
      if (all % parts == 0 && looks_like_a_tray(part) && (!listed || is_listed(part, known)))
        lines.push_back(line);
    }
  return lines;
}

std::vector<InnerLine> all_lines(const Lattice& lattice) {
  std::vector<InnerLine> lines;
  for (const bool upright : {true, false})
    for (int before = 1; before < rows_across(lattice, upright); ++before) lines.push_back({upright, before});
  return lines;
}

std::vector<InnerLine> lines_worth_asking(const Lattice& lattice, const Hints& hints, bool cut) {
  if (hints.rows && hints.cols) {
    if (!cut && is_as_stated(layout_of(lattice), hints)) return {};
    return lines_as_stated(lattice, *hints.rows, *hints.cols);
  }
  return cut ? all_lines(lattice) : lines_of_one_make(lattice, hints.known_layouts);
}

/// The edge of the frame along which one of the quad's sides lies; empty if none does.
std::string side_along_frame(const TrayQuad& quad, const cv::Rect& frame) {
  constexpr double kNear = 4;  // px
  const auto within = [&](cv::Point2d p) {
    return std::array{p.x - frame.x, frame.br().x - 1 - p.x, p.y - frame.y, frame.br().y - 1 - p.y};
  };
  static const std::array<const char*, 4> names{"left", "right", "upper", "lower"};
  for (int i = 0; i < 4; ++i) {
    const auto a = within(distort(quad.lens, quad.corners[i])),
               b = within(distort(quad.lens, quad.corners[(i + 1) % 4]));
    for (int edge = 0; edge < 4; ++edge)
      if (std::max(a[edge], b[edge]) < kNear) return names[edge];
  }
  return "";
}

/// The region of some of the lattice's rows or columns, from `first` on. Lattice on the maps.
TrayQuad quad_of(const Lattice& lattice, bool upright, int first, int count, const TrayQuad& whole,
                 const cv::Rect& frame) {
  cv::Rect2d region = region_of(lattice);
  const double begin = first - 0.5 + kRegionInset, size = count - 2 * kRegionInset;
  if (upright)
    region.x = begin, region.width = size;
  else
    region.y = begin, region.height = size;
  TrayQuad part;
  part.lens = whole.lens;
  part.area = whole.area * count / rows_across(lattice, upright);
  const std::array<cv::Point2d, 4> corners{
      region.tl(), {region.br().x, region.y}, region.br(), {region.x, region.br().y}};
  for (int i = 0; i < 4; ++i) part.corners[i] = undistort(part.lens, photo_point(lattice, corners[i]));
  part.cut_side = side_along_frame(part, frame);
  return part;
}

/// The trays on both sides of a line of the lattice `seen`, which lies `there` on the maps; none if one of
/// them is too small for a whole tray and the frame doesn't cut it.
std::vector<ButtedTray> beside(const InnerLine& line, const Lattice& seen, const Lattice& there,
                               const TrayQuad& quad, const cv::Rect& frame) {
  const int all = rows_across(seen, line.upright);
  std::vector<ButtedTray> trays;
  for (const auto& [first, count] : {std::pair(0, line.before), std::pair(line.before, all - line.before)}) {
    TrayQuad part = quad_of(there, line.upright, first, count, quad, frame);
    if (part.cut_side.empty()) part.cut_side = side_left(part_of(there, line.upright, first, count), frame);
    if (count < kFewestRows && part.cut_side.empty()) return {};
    trays.push_back({part, part_of(seen, line.upright, first, count)});
  }
  return trays;
}

}  // namespace

std::vector<ButtedTray> butted_trays(const LatticeMaps& maps, const TrayQuad& quad, const Lattice& seen,
                                     const Hints& hints, const EndsAt& ends_at) {
  const Lattice there = on_maps(seen, maps);
  const bool cut = !quad.cut_side.empty() || !side_left(there, maps.frame).empty();
  double most = cut && !hints.rows ? kEnds : kEndsWhereLikely;
  std::vector<ButtedTray> likeliest;
  for (const InnerLine& line : lines_worth_asking(seen, hints, cut)) {
    const std::vector<ButtedTray> trays = beside(line, seen, there, quad, maps.frame);
    if (trays.empty()) continue;
    if (const double chance = ends_at(seen, line); chance > most) most = chance, likeliest = trays;
  }
  for (ButtedTray& tray : likeliest) tray.cells.fit *= most;
  return likeliest;
}

}  // namespace braird::vision
