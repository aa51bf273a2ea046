// SPDX-License-Identifier: Apache-2.0
#include "vision/marked_photo.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "calibration/sowing_check.h"
#include "vision/cell_marks.h"
#include "vision/marked_legend.h"
#include "vision/tray_names.h"

namespace braird::vision {
namespace {

/// Where the numbers of a tray's rows, or of its columns, stand: beyond the rim on this side.
std::vector<cv::Point2d> number_places(const Tray& tray, bool rows, bool last_side) {
  constexpr double kOutside = 1.9;  // half cells from the outermost centre
  const double side = last_side ? 1 : -1;
  std::vector<cv::Point2d> places;
  for (int i = 0; i < (rows ? tray.layout.rows : tray.layout.cols); ++i) {
    const int row = rows ? i : last_side ? tray.layout.rows - 1 : 0;
    const int col = !rows ? i : last_side ? tray.layout.cols - 1 : 0;
    const bool shifted = rows && tray.layout.lattice == LatticeKind::staggered && (i % 2 == 1) != last_side;
    const double out = side * (kOutside + (shifted ? 1 : 0));
    const Frame cell = frame_of(tray, cell_at(tray, row, col));
    places.push_back(rows ? cell.at(out, 0) : cell.at(0, out));
  }
  return places;
}

/// Whether any of these places lies on a cell of another tray.
bool on_others(const std::vector<cv::Point2d>& places, const Tray& own, const std::vector<Tray>& trays) {
  return std::ranges::any_of(trays, [&](const Tray& tray) {
    return &tray != &own && std::ranges::any_of(tray.cells, [&](const Cell& cell) {
      return std::ranges::any_of(places, [&](const cv::Point2d& place) {
        return cv::norm(centre_of(cell) - place) < tray.pitch_px / 2;
      });
    });
  });
}

/// Says what a side's numbers count, in front of the first of them.
void name_edge(const Pen& pen, const Tray& tray, bool rows, cv::Point2d first) {
  const Frame corner = frame_of(tray, cell_at(tray, 0, 0));
  const cv::Point2d axis = rows ? corner.down : corner.right, along = axis / std::max(1.0, cv::norm(axis));
  const std::string words = rows ? "row" : "column";
  const cv::Size box = pen.size_of(words, 0.4);
  const double lead =
      std::abs(along.x) * (box.width / 2.0 + 0.4 * pen.size) + std::abs(along.y) * 2 * box.height;
  pen.text(words, first - lead * along, 0.4);
}

/// On the side of the first row and column, or where another tray is butted there, on the other.
void number_edges(const Pen& pen, const Tray& tray, const std::vector<Tray>& trays) {
  for (const bool rows : {true, false}) {
    std::vector<cv::Point2d> places = number_places(tray, rows, false);
    if (on_others(places, tray, trays))
      if (const auto others = number_places(tray, rows, true); !on_others(others, tray, trays))
        places = others;
    for (std::size_t i = 0; i < places.size(); ++i) pen.text(std::to_string(i + 1), places[i], 0.45);
    name_edge(pen, tray, rows, places.front());
  }
}

/// Cells that lack seeds, with their numbers in the order in which a hand walks the tray.
void draw_mending(const Pen& pen, const Tray& tray) {
  const auto walk = cells_to_mend(tray, tray.seeds_per_cell.value_or(1));
  for (std::size_t i = 0; i < walk.size(); ++i) {
    const Frame frame = upright(frame_of(tray, cell_at(tray, walk[i].row, walk[i].col)));
    draw_state(pen, frame, CellState::empty);
    pen.text(std::to_string(i + 1), frame.at(0, -0.35), 0.5);
  }
}

void draw_tray(cv::Mat& picture, const Tray& tray, const Census& census) {
  const Pen pen{picture, tray.pitch_px / 2};
  for (const Cell& cell : tray.cells) {
    const Frame frame = upright(frame_of(tray, cell));
    draw_state(pen, frame, state_of(cell.count));
    if (cell.review) draw_review_flag(pen, frame);
    if (cell.count > 0) pen.text(std::to_string(cell.count), frame.at(0.62, 0.58), 0.4);
  }
  if (census.counted == Counted::seeds) draw_mending(pen, tray);
  number_edges(pen, tray, census.trays);
}

}  // namespace

cv::Mat marked_photo(const cv::Mat& bgr, const Census& census) {
  cv::Mat picture = bgr.clone();
  for (const Tray& tray : census.trays) draw_tray(picture, tray, census);
  const bool several = census.trays.size() > 1;
  if (several) write_tray_names(picture, bgr, census.trays);
  for (std::size_t i = 0; i < census.trays.size(); ++i)
    picture.push_back(
        legend_line(picture.cols, census.trays[i], census.counted, several ? tray_name(i) : ""));
  return picture;
}

}  // namespace braird::vision
