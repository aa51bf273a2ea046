// SPDX-License-Identifier: Apache-2.0
#include "cli/report/marks.h"

#include <fmt/format.h>

#include <initializer_list>
#include <vector>

namespace braird::report {
namespace {

constexpr double kRim = 0.78;  // within the cell, beside its neighbour's marks

/// A point given in half cells, as "x y" with a tenth of a unit.
std::string at(const Frame& cell, Point point) {
  return fmt::format("{:.1f} {:.1f}", cell.centre.x + point.x * cell.right.x + point.y * cell.down.x,
                     cell.centre.y + point.x * cell.right.y + point.y * cell.down.y);
}

std::string line(const Frame& cell, std::initializer_list<Point> points, const char* end = "") {
  std::string path;
  for (const Point& point : points) path.append(path.empty() ? "M" : "L").append(at(cell, point));
  return path.append(end);
}

/// Two seed leaves, seen from above, around a point in units.
std::string leaves(double x, double y, double size) {
  std::string path;
  for (const double side : {-1., 1.})
    path += fmt::format("M{0:.1f} {1:.1f}q{2:.1f} {3:.1f} {4:.1f} {5:.1f}q{6:.1f} {7:.1f} {8:.1f} {9:.1f}z",
                        x, y, side * size * .35, -size * .75, side * size, -size * .45, -side * size * .2,
                        size * .75, -side * size, size * .45);
  return fmt::format("<path class=\"leaf\" d=\"{}\"/>", path);
}

std::string plants(int seedlings) {
  switch (seedlings) {
    case 1:
      return leaves(0, 1, 5.4);
    case 2:
      return leaves(-2.6, -1.8, 3.6) + leaves(2.6, 3.6, 3.6);
    case 3:
      return leaves(-2.6, -2.2, 3.2) + leaves(2.8, -1.2, 3.2) + leaves(-.2, 4.6, 3.2);
    default:
      return leaves(-3.4, 0.6, 3.4) +
             fmt::format("<text class=\"many\" x=\"2.4\" y=\"3.4\">{}</text>", seedlings);
  }
}

std::string cell_with(int seedlings) {
  const Frame cell;
  if (seedlings == 0) return fmt::format("<path class=\"gap\" d=\"{}\"/>", gap_path(cell));
  return plants(seedlings) + fmt::format("<path class=\"{}\" d=\"{}\"/>", seedlings == 1 ? "one" : "several",
                                         seedlings == 1 ? one_path(cell) : several_path(cell));
}

}  // namespace

std::string gap_path(const Frame& cell) {
  constexpr double size = 0.62;
  return line(cell, {{0, -size}, {size, 0}, {0, size}, {-size, 0}}, "z");
}

std::string one_path(const Frame& cell) {
  return line(cell, {{-0.45, kRim - .1}, {0.45, kRim - .1}});
}

std::string several_path(const Frame& cell) {
  return line(cell, {{-kRim + .06, -0.45}, {-kRim + .06, 0.45}}) +
         line(cell, {{kRim - .06, -0.45}, {kRim - .06, 0.45}});
}

std::string flag_path(const Frame& cell) {
  return line(cell, {{0.86, -0.9}, {0.2, -0.9}, {0.86, -0.24}}, "z");
}

std::string hand_path(const Frame& cell) {
  return line(cell, {{-0.86, 0.62}, {-0.6, 0.86}, {-0.2, 0.36}});
}

std::string mark_definitions() {
  std::string defs =
      "<rect id=\"w4\" class=\"well\" x=\"-9.2\" y=\"-9.2\" width=\"18.4\" height=\"18.4\" rx=\"3\"/>"
      "<path id=\"w6\" class=\"well\" d=\"M0-10.6L9.3-5.3V5.3L0 10.6-9.3 5.3V-5.3z\"/>";
  for (int seedlings = 0; seedlings <= kMostDrawn; ++seedlings)
    defs += fmt::format("<g id=\"n{}\">{}</g>", seedlings, cell_with(seedlings));
  defs += fmt::format("<path id=\"look\" class=\"look\" d=\"{}\"/>", flag_path({}));
  defs += fmt::format("<path id=\"hand\" class=\"hand\" d=\"{}\"/>", hand_path({}));
  defs += "<rect id=\"ring\" class=\"ring\" x=\"-11\" y=\"-11\" width=\"22\" height=\"22\" rx=\"4\"/>";
  return defs + "<circle id=\"set\" class=\"set\" r=\"9.6\"/>";
}

}  // namespace braird::report
