// SPDX-License-Identifier: Apache-2.0
#include "vision/seams_within.h"

#include <algorithm>
#include <cmath>

#include "vision/log_odds.h"
#include "vision/net/networks.h"
#include "vision/sheet.h"
#include "vision/tray_ends.h"

namespace braird::vision {
namespace {

constexpr int kBeside = 1;  // cells, as in training
constexpr int kPlaces = 2;  // lines a cell

/// Those of one axis. `ragged`: every second row begins half a cell later, so that trays meet within a
/// column.
void add(std::vector<SeamWithin>& seams, const std::vector<float>& chances, bool upright, double cells,
         bool ragged) {
  for (int line = 1; line < kPlaces * cells; ++line) {
    const int behind = (line + kPlaces - 1) / kPlaces, before = ragged ? behind - 1 : line / kPlaces;
    const int on_sheet = line + kPlaces * kBeside;
    seams.push_back({upright, before, behind, chances.at(static_cast<std::size_t>(on_sheet))});
  }
}

std::vector<SeamWithin> seen_by_network(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice) {
  const cv::Rect2d hull = hull_of(lattice);
  const cv::Size inside(cvRound(hull.width * kSheetCell), cvRound(hull.height * kSheetCell));
  constexpr int kMargin = kBeside * kSheetCell;
  // A line stands at a pixel's middle, as in training.
  const cv::Point2d first = hull.tl() - cv::Point2d(1, 1) * (kBeside + 0.5 / kSheetCell);
  const Sheet sheet{first, {1, 0}, {0, 1}, inside + cv::Size(2 * kMargin, 2 * kMargin)};
  const SeamChances chances =
      seam_chances(about_mean(seen_on(bgr, frame, lattice, sheet)), {{kMargin, kMargin}, inside});
  std::vector<SeamWithin> seams;
  add(seams, chances.upright, true, hull.width, lattice.odd_row_shift != 0);
  add(seams, chances.level, false, hull.height, false);
  return seams;
}

/// What two networks say of a line. Weights near those fitted to 195 lines within painted lattices, 43 of
/// them seams; ends count for more, since where they spoke clearly against a seam there mostly was none.
double chance_of_both(double seam, double ends) {
  return 1 / (1 + std::exp(-1.2 - 0.55 * log_odds(seam) - 0.5 * log_odds(ends)));
}

double ends_at(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice, const SeamWithin& line,
               double enough) {
  return chance_of_ends_at(bgr, frame, lattice, line.upright, line.before, enough);
}

}  // namespace

std::vector<SeamWithin> seams_within(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice) {
  constexpr double kWorthAsking = 0.01;  // chance of a seam; a guess
  std::vector<SeamWithin> seams = seen_by_network(bgr, frame, lattice);
  for (SeamWithin& seam : seams) {
    const bool shows = seam.chance >= kWorthAsking;
    if (seam.before != seam.behind || seam.chance < kSeamOfOneMake ||
        (!shows && !leaves_one_make(seam, lattice)))
      continue;
    seam.ends = ends_at(bgr, frame, lattice, seam, shows ? 0 : kEndsOfOneMake);
    if (shows) seam.chance = chance_of_both(seam.chance, seam.ends);
  }
  return seams;
}

std::vector<SeamWithin> lines_of_one_make(const Lattice& lattice) {
  std::vector<SeamWithin> lines;
  for (const bool upright : {true, false})
    for (int before = 1; before < rows_across(lattice, upright); ++before)
      if (const SeamWithin line{upright, before, before, 0}; leaves_one_make(line, lattice))
        lines.push_back(line);
  return lines;
}

bool end_at_any(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice,
                const std::vector<SeamWithin>& lines) {
  return std::ranges::any_of(lines, [&](const SeamWithin& line) {
    return ends_at(bgr, frame, lattice, line, kEndsOfOneMake) > kEndsOfOneMake;
  });
}

bool leaves_one_make(const SeamWithin& seam, const Lattice& lattice) {
  const int rest = rows_across(lattice, seam.upright) - seam.behind;
  const auto [fewer, more] = std::minmax(seam.before, rest);
  return fewer >= kFewestRows && (more == fewer || more == 2 * fewer + seam.behind - seam.before);
}

}  // namespace braird::vision
