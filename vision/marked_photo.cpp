// SPDX-License-Identifier: Apache-2.0
#include "vision/marked_photo.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <string>
#include <vector>

#include "calibration/sowing_check.h"

namespace braird::vision {
namespace {

// Okabe M, Ito K 2008, Color Universal Design; as BGR.
const cv::Scalar kVermilion(0, 94, 213), kSkyBlue(233, 180, 86), kYellow(66, 228, 240),
    kPurple(167, 121, 204);
const cv::Scalar kDark(25, 25, 25), kLight(245, 245, 245), kSoil(60, 70, 85);

constexpr int kFont = cv::FONT_HERSHEY_SIMPLEX;
constexpr double kFontHeight = 21;  // px of a capital at scale 1

/// A cell's own axes in the photo: from its centre to its right and lower edge.
struct Frame {
  cv::Point2d centre, right, down;
  cv::Point at(double x, double y) const { return centre + x * right + y * down; }
};

struct Pen {
  cv::Mat& picture;
  double size;  ///< px: half a cell
  int width() const { return std::max(1, cvRound(size / 14)); }

  void line(const std::vector<cv::Point>& points, const cv::Scalar& colour, bool closed = false) const {
    cv::polylines(picture, points, closed, kDark, width() + 2, cv::LINE_AA);
    cv::polylines(picture, points, closed, colour, width(), cv::LINE_AA);
  }

  void fill(const std::vector<cv::Point>& points, const cv::Scalar& colour) const {
    cv::fillConvexPoly(picture, points, colour, cv::LINE_AA);
    cv::polylines(picture, points, true, kDark, 1, cv::LINE_AA);
  }

  double scale_of(double share) const { return std::max(0.3, share * size / kFontHeight); }
  static int thickness_of(double scale) { return std::max(1, cvRound(2 * scale)); }
  cv::Size size_of(const std::string& words, double share) const {
    const double scale = scale_of(share);
    return cv::getTextSize(words, kFont, scale, thickness_of(scale), nullptr);
  }

  /// Text of a height of `share` of half a cell, its middle at `middle`.
  void text(const std::string& words, cv::Point2d middle, double share) const {
    const double scale = scale_of(share);
    const int thick = thickness_of(scale);
    const cv::Size box = size_of(words, share);
    const cv::Point origin = middle + cv::Point2d(-box.width / 2.0, box.height / 2.0);
    cv::putText(picture, words, origin, kFont, scale, kDark, thick + 3, cv::LINE_AA);
    cv::putText(picture, words, origin, kFont, scale, kLight, thick, cv::LINE_AA);
  }
};

void draw_state(const Pen& pen, const Frame& cell, CellState state) {
  constexpr double kRim = 0.78;  // within the cell, beside its neighbour's marks
  switch (state) {
    case CellState::empty:
      pen.line({cell.at(0, -kRim), cell.at(kRim, 0), cell.at(0, kRim), cell.at(-kRim, 0)}, kVermilion, true);
      break;
    case CellState::single:
      pen.line({cell.at(-0.5, kRim), cell.at(0.5, kRim)}, kSkyBlue);
      break;
    case CellState::multiple:
      pen.line({cell.at(-kRim, -0.5), cell.at(-kRim, 0.5)}, kYellow);
      pen.line({cell.at(kRim, -0.5), cell.at(kRim, 0.5)}, kYellow);
      break;
  }
}

void draw_review_flag(const Pen& pen, const Frame& cell) {
  pen.fill({cell.at(0.9, -0.9), cell.at(0.25, -0.9), cell.at(0.9, -0.25)}, kPurple);
}

cv::Point2d centre_of(const Cell& cell) {
  return {cell.centre_px.x, cell.centre_px.y};
}

/// Half the step to the next cell along the row, or from the one before at the row's end.
cv::Point2d half_step_along(const Tray& tray, const Cell& cell) {
  const int from = std::min(cell.col, tray.layout.cols - 2);
  if (from < 0) return {tray.pitch_px / 2, 0};
  return (centre_of(cell_at(tray, cell.row, from + 1)) - centre_of(cell_at(tray, cell.row, from))) / 2;
}

/// Square to the row, on the side of the next rows, as long as gives the cell its area.
Frame frame_of(const Tray& tray, const Cell& cell) {
  const cv::Point2d right = half_step_along(tray, cell);
  const double length = std::max(1.0, cv::norm(right));
  const double down = tray.pitch_px * tray.pitch_px / 4 / length;
  return {centre_of(cell), right, cv::Point2d(-right.y, right.x) * (down / length)};
}

/// The same cell, its axes swapped by quarter turns until "right" is right in the photo: marks look alike in
/// any pose.
Frame upright(const Frame& cell) {
  if (std::abs(cell.right.x) >= std::abs(cell.right.y))
    return cell.right.x > 0 ? cell : Frame{cell.centre, -cell.right, -cell.down};
  return cell.right.y > 0 ? Frame{cell.centre, -cell.down, cell.right}
                          : Frame{cell.centre, cell.down, -cell.right};
}

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

TraySummary sum_of(const std::vector<Tray>& trays) {
  TraySummary sum;
  for (const Tray& tray : trays) {
    const TraySummary one = summarise(tray);
    sum.empty += one.empty;
    sum.single += one.single;
    sum.multiple += one.multiple;
    sum.review += one.review;
  }
  return sum;
}

/// One entry of the strip below: a cell with its mark, and what the mark means.
struct Entry {
  std::string words;
  CellState state;
  bool review = false;
  bool numbered = false;
};

void draw_entry(cv::Mat& strip, const Entry& entry, double left, double half) {
  const Pen pen{strip, half};
  const Frame cell{{left + half, strip.rows / 2.0}, {half, 0}, {0, half}};
  cv::rectangle(strip, cell.at(-1, -1), cell.at(1, 1), kSoil, cv::FILLED);
  if (entry.review)
    draw_review_flag(pen, cell);
  else
    draw_state(pen, cell, entry.state);
  if (entry.numbered) pen.text("1", cell.centre, 0.7);
  const double scale = 0.7 * half / kFontHeight;
  cv::putText(strip, entry.words, cell.at(1.5, 0.35), kFont, scale, kLight, std::max(1, cvRound(2 * scale)),
              cv::LINE_AA);
}

cv::Mat legend(int width, const Census& census) {
  const TraySummary sum = sum_of(census.trays);
  std::vector<Entry> entries = {{"gap: " + std::to_string(sum.empty), CellState::empty},
                                {"one: " + std::to_string(sum.single), CellState::single},
                                {"several: " + std::to_string(sum.multiple), CellState::multiple},
                                {"look here: " + std::to_string(sum.review), CellState::empty, true}};
  if (census.counted == Counted::seeds)
    entries.push_back({"order of adding seeds", CellState::empty, false, true});
  const double half = std::clamp(width / 100.0, 4.0, 30.0);
  cv::Mat strip(cvRound(3.4 * half), width, CV_8UC3, kDark);
  double left = half;
  for (const Entry& entry : entries) {
    draw_entry(strip, entry, left, half);
    left += static_cast<double>(width) / static_cast<double>(entries.size());
  }
  return strip;
}

}  // namespace

cv::Mat marked_photo(const cv::Mat& bgr, const Census& census) {
  cv::Mat picture = bgr.clone();
  for (const Tray& tray : census.trays) draw_tray(picture, tray, census);
  picture.push_back(legend(picture.cols, census));
  return picture;
}

}  // namespace braird::vision
