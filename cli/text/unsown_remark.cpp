// SPDX-License-Identifier: Apache-2.0
#include "cli/text/unsown_remark.h"

#include <fmt/format.h>

#include "calibration/sown_part.h"

namespace braird::cli {
namespace {

/// "rows 1 to 3", where a part begins behind or ends before them; empty if there are none.
std::string lines_between(const char* lines, int first, int last) {
  return first > last ? "" : fmt::format("{} {} to {}", lines, first + 1, last + 1);
}

std::string bare_lines(const Layout& layout, const SownPart& part) {
  std::string text;
  for (const std::string& some : {lines_between("rows", 0, part.first_row - 1),
                                  lines_between("rows", part.last_row + 1, layout.rows - 1),
                                  lines_between("columns", 0, part.first_col - 1),
                                  lines_between("columns", part.last_col + 1, layout.cols - 1)})
    if (!some.empty()) text += (text.empty() ? "" : " and ") + some;
  return text;
}

std::string corner(const Tray& tray, int row, int col) {
  const Point at = cell_at(tray, row, col).centre_px;
  return fmt::format(" {:.0f},{:.0f}", at.x, at.y);
}

/// The options that count this part of the photo alone.
std::string options_for(const Tray& tray, const SownPart& part) {
  return fmt::format("--tray {}x{}{} --corners", part.last_row - part.first_row + 1,
                     part.last_col - part.first_col + 1,
                     tray.layout.lattice == LatticeKind::staggered ? " --lattice staggered" : "") +
         corner(tray, part.first_row, part.first_col) + corner(tray, part.first_row, part.last_col) +
         corner(tray, part.last_row, part.last_col) + corner(tray, part.last_row, part.first_col);
}

}  // namespace

std::string unsown_remark(const Tray& tray, const std::string& called) {
  const auto part = sown_part(tray);
  if (!part) return "";
  const std::string bare = bare_lines(tray.layout, *part) + " of " + called;
  if (tray.label)
    return bare +
           " hold next to nothing; if they were left unsown, they are no gaps, and the rates don't hold";
  return fmt::format(
      "{} hold next to nothing; if they were left unsown, they are no gaps: count the sown part alone, with "
      "{}",
      bare, options_for(tray, *part));
}

}  // namespace braird::cli
