// SPDX-License-Identifier: Apache-2.0
#include "cli/report/photo_marks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "cli/report/html.h"
#include "cli/report/marks.h"
#include "cli/report/words.h"

namespace braird::report {
namespace {

/// A cell's axes in the photo of the page: along its row, and square to that.
Frame frame_in_photo(const TrayReport& of, const Cell& cell) {
  const Tray& tray = of.tray;
  const PagePhoto& photo = *of.photo;
  const int cols = tray.layout.cols, from = std::min(cell.col, std::max(0, cols - 2));
  Point right{tray.pitch_px / 2, 0};
  if (cols > 1) {
    const Point& a = cell_at(tray, cell.row, from).centre_px;
    const Point& b = cell_at(tray, cell.row, from + 1).centre_px;
    right = {(b.x - a.x) / 2, (b.y - a.y) / 2};
  }
  const double length = std::max(1., std::hypot(right.x, right.y));
  const double down = tray.pitch_px * tray.pitch_px / 4 / (length * length);
  const double s = photo.scale;
  return {{(cell.centre_px.x - photo.origin.x) * s, (cell.centre_px.y - photo.origin.y) * s},
          {right.x * s, right.y * s},
          {-right.y * down * s, right.x * down * s}};
}

/// Marks look alike in any pose.
Frame turned_upright(const Frame& frame) {
  const auto turned = [](Point p) { return Point{-p.x, -p.y}; };
  const Point& right = frame.right;
  if (std::abs(right.x) >= std::abs(right.y))
    return right.x > 0 ? frame : Frame{frame.centre, turned(frame.right), turned(frame.down)};
  return right.y > 0 ? Frame{frame.centre, turned(frame.down), frame.right}
                     : Frame{frame.centre, frame.down, turned(frame.right)};
}

/// Where the numbers of the rows, or of the columns, stand: beyond the rim on this side.
std::vector<Point> number_places(const TrayReport& of, bool rows, bool last_side) {
  constexpr double kOutside = 1.6;  // half cells from the outermost centre; the picture ends at 2.2
  const Layout& layout = of.tray.layout;
  std::vector<Point> places;
  for (int i = 0; i < (rows ? layout.rows : layout.cols); ++i) {
    const int row = rows        ? i
                    : last_side ? layout.rows - 1
                                : 0,
              col = !rows       ? i
                    : last_side ? layout.cols - 1
                                : 0;
    const Frame cell = frame_in_photo(of, cell_at(of.tray, row, col));
    const Point& axis = rows ? cell.right : cell.down;
    const double out = last_side ? kOutside : -kOutside;
    places.push_back({cell.centre.x + out * axis.x, cell.centre.y + out * axis.y});
  }
  return places;
}

/// What a side's numbers count, in front of the first of them and within the photo.
std::string edge_name(const TrayReport& of, bool rows, const Point& first) {
  constexpr double kSize = 0.5, kLetter = 0.3;  // half cells: of the font, and a letter's width
  const PagePhoto& photo = *of.photo;
  const double unit = of.tray.pitch_px * photo.scale / 2;
  const Frame corner = frame_in_photo(of, cell_at(of.tray, 0, 0));
  const Point& axis = rows ? corner.down : corner.right;
  const double length = std::max(1., std::hypot(axis.x, axis.y)), x = axis.x / length, y = axis.y / length;
  const std::string words = rows ? words::kRow : words::kColumn;
  const double half = kLetter * unit * static_cast<double>(words.size()) / 2;
  const double lead = std::abs(x) * (half + .4 * unit) + std::abs(y) * .75 * unit;
  const double middle = std::clamp(first.x - lead * x, std::min(half, photo.width / 2.),
                                   std::max(photo.width - half, photo.width / 2.));
  return fmt::format("<text x=\"{:.0f}\" y=\"{:.0f}\" font-size=\"{:.0f}\">{}</text>", middle,
                     first.y - lead * y, kSize * unit, escaped(words));
}

/// On the side of the first row and column, or where the photo ends there, on the other.
std::string edge_numbers(const TrayReport& of) {
  const PagePhoto& photo = *of.photo;
  const double size = of.tray.pitch_px * photo.scale / 2;
  const auto outside = [&](const Point& place) {
    const double room = 0.4 * size;
    return place.x < room || place.y < room || place.x > photo.width - room || place.y > photo.height - room;
  };
  std::string text = fmt::format("<g class=\"numbers\" font-size=\"{:.0f}\">", size);
  for (const bool rows : {true, false}) {
    std::vector<Point> places = number_places(of, rows, false);
    if (std::ranges::any_of(places, outside)) places = number_places(of, rows, true);
    for (std::size_t at = 0; at < places.size(); ++at)
      text += fmt::format("<text x=\"{:.0f}\" y=\"{:.0f}\">{}</text>", places[at].x, places[at].y, at + 1);
    text += edge_name(of, rows, places.front());
  }
  return text + "</g>";
}

}  // namespace

std::string marked_photo(const TrayReport& tray) {
  if (!tray.photo) return "";
  const PagePhoto& photo = *tray.photo;
  std::string gaps, ones, several, flags;
  for (std::size_t at = 0; at < tray.tray.cells.size(); ++at) {
    const Cell& cell = tray.tray.cells[at];
    const Frame frame = turned_upright(frame_in_photo(tray, cell));
    if (cell.count == 0) gaps += gap_path(frame);
    if (cell.count == 1) ones += one_path(frame);
    if (cell.count > 1) several += several_path(frame);
    if (cell.review) flags += flag_path(frame);
  }
  const double width = std::max(1., tray.tray.pitch_px * photo.scale / 18);
  std::string marks;
  for (const auto& [kind, path] :
       {std::pair("gap", &gaps), {"one", &ones}, {"several", &several}, {"look", &flags}})
    marks += fmt::format("<path class=\"{0}\" d=\"{1}\"/>", kind, *path);
  return fmt::format(
      "<img id=\"photo-{0}\" alt=\"{1}\" width=\"{2}\" height=\"{3}\" "
      "src=\"data:image/jpeg;base64,{4}\"><svg class=\"marks\" viewBox=\"0 0 {2} {3}\" aria-hidden=\"true\" "
      "style=\"--stroke:{5:.1f}px\">{6}</svg>",
      tray.id, escaped(fmt::format(words::kPhotoAloud, tray.name)), photo.width, photo.height,
      base64(photo.jpeg), width, marks + edge_numbers(tray));
}

}  // namespace braird::report
