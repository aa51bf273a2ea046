// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <stdexcept>
#include <variant>

#include "vision/lattice_agreement.h"
#include "vision/lattice_choice.h"
#include "vision/lattice_maps.h"
#include "vision/lattice_refine.h"
#include "vision/numbering.h"
#include "vision/tray_quad.h"

namespace braird::vision {
namespace {

constexpr double kLowestFit = 0.75;  // below, a third of the painted lattices that would be chosen are wrong
constexpr double kFewestPx = 12;     // a cell's side in the photo: a cotyledon of 3 mm is then 1 px
constexpr double kBeyondFrame = 0.12;  // pitches by which a whole tray's cells may seem to leave the photo

std::string name_of_layout(const Layout& layout) {
  return fmt::format("{}×{} {}", layout.rows, layout.cols, name_of(layout.lattice));
}

/// Why a tray that was seen is not counted, and what to do about it.
struct Trouble {
  std::string reason, remedy;
};

const std::string kStepBack = "step back until the whole rim is in the picture";

/// The side of the frame beyond which a lattice's cells reach; empty if they don't.
std::string side_left(const Lattice& lattice, const cv::Rect& frame) {
  const cv::Rect2d hull = hull_of(lattice);
  for (const double u : {hull.x, hull.x + hull.width / 2, hull.br().x})
    for (const double v : {hull.y, hull.y + hull.height / 2, hull.br().y}) {
      const cv::Point2d at = photo_point(lattice, {u, v});
      const double off = kBeyondFrame * pitch_at(lattice, {u, v});
      if (at.x < frame.x - off) return "left";
      if (at.x > frame.br().x - 1 + off) return "right";
      if (at.y < frame.y - off) return "upper";
      if (at.y > frame.br().y - 1 + off) return "lower";
    }
  return "";
}

Trouble cut_off(const std::string& side) {
  return {fmt::format("a tray is cut off by the {} edge of the photo and was not counted", side), kStepBack};
}

Trouble unclear(const std::optional<LatticeChoice>& choice) {
  const std::string remedy =
      "photograph it from straight above in even light, or state its layout with --tray";
  if (!choice || !choice->rival || choice->lattice.fit < 0.3)
    return {"a tray was seen, but its rows and columns could not be made out", remedy};
  return {fmt::format("a tray was seen, but it is unclear whether it is {} or {}",
                      name_of_layout(layout_of(choice->lattice)), name_of_layout(*choice->rival)),
          remedy};
}

Trouble not_as_stated(const Layout& seen) {
  return {fmt::format("the tray in the photo looks {}, not as stated", name_of_layout(seen)),
          "correct --tray or leave it out"};
}

/// Trays butted together look like one that is a whole number of times as large as the stated layout.
std::vector<Lattice> parts_as_stated(const LatticeMaps& maps, const Lattice& whole, const Hints& hints) {
  std::vector<Lattice> parts;
  if (!hints.rows || !hints.cols || whole.odd_row_shift != 0) return parts;
  for (const auto& [rows, cols] :
       {std::pair(*hints.rows, *hints.cols), std::pair(*hints.cols, *hints.rows)}) {
    const bool down = whole.cols == cols && whole.rows % rows == 0;
    const bool across = whole.rows == rows && whole.cols % cols == 0;
    if (!down && !across) continue;
    for (int first = 0; first < (down ? whole.rows : whole.cols); first += down ? rows : cols) {
      Lattice part = whole;
      part.rows = rows, part.cols = cols;
      part.photo_from_plane =
          whole.photo_from_plane * cv::Matx33d(1, 0, down ? 0 : first, 0, 1, down ? first : 0, 0, 0, 1);
      parts.push_back(follow_creep(maps, refine(maps, part)));
    }
    return parts;
  }
  return parts;
}

/// The lattices of the tray (or of trays butted together) in the quad, or what stands in their way.
std::variant<std::vector<Lattice>, Trouble> examine(const LatticeMaps& maps, const TrayQuad& quad,
                                                    const Hints& hints) {
  if (!quad.cut_side.empty()) return cut_off(quad.cut_side);
  const auto choice = choose_lattice(maps, quad, hints);
  if (!choice || choice->lattice.fit < kLowestFit) return unclear(choice);
  const Lattice& found = choice->lattice;
  if (!is_as_stated(layout_of(found), hints)) {
    const auto parts = parts_as_stated(maps, found, hints);
    if (parts.empty()) return not_as_stated(layout_of(found));
    return parts;
  }
  const std::string side = side_left(found, maps.frame);
  if (!side.empty()) return cut_off(side);
  if (has_hidden_side(maps, found, quad.corners))
    return Trouble{"a tray is partly hidden or cut off along a row and was not counted", kStepBack};
  return std::vector{follow_creep(maps, found)};
}

/// Fewest pixels that a cell of these lattices spans.
double smallest_cell(const std::vector<Lattice>& lattices) {
  double least = 1e9;
  for (const Lattice& lattice : lattices)
    least = std::min(least, pitch_at(lattice, {lattice.cols / 2.0, lattice.rows / 2.0}));
  return least;
}

/// With the frame's middle, from which plants lean away.
Lattice in_photo(Lattice lattice, cv::Size photo) {
  lattice.lens = {
      {(photo.width - 1) / 2.0, (photo.height - 1) / 2.0}, std::hypot(photo.width, photo.height) / 2, 0};
  return lattice;
}

}  // namespace

Lattice lattice_from_corners(const Hints& hints) {
  Lattice lattice;
  lattice.rows = *hints.rows;
  lattice.cols = *hints.cols;
  lattice.odd_row_shift = hints.lattice == LatticeKind::staggered ? 0.5 : 0;
  lattice.fit = 1;
  const int last_row = lattice.rows - 1, last_col = lattice.cols - 1;
  std::array<cv::Point2f, 4> from{tray_point(lattice, 0, 0), tray_point(lattice, 0, last_col),
                                  tray_point(lattice, last_row, last_col), tray_point(lattice, last_row, 0)};
  std::array<cv::Point2f, 4> to;
  for (int i = 0; i < 4; ++i)
    to[i] = {static_cast<float>((*hints.corners)[i].x), static_cast<float>((*hints.corners)[i].y)};
  for (int i = 0; i < 4; ++i)
    if ((to[(i + 1) % 4] - to[i]).cross(to[(i + 2) % 4] - to[(i + 1) % 4]) <= 0)
      throw std::invalid_argument(
          "the corners must go clockwise: first row's first and last cell, last row's last and first");
  lattice.photo_from_plane = cv::getPerspectiveTransform(from.data(), to.data());
  return lattice;
}

LatticeSearch find_in_maps(const LatticeMaps& maps, const Hints& hints) {
  LatticeSearch search;
  std::string refusal = "no tray seen; photograph one whole tray from straight above, its rim in the picture";
  for (const TrayQuad& quad : find_tray_quads(maps.region, maps.frame)) {
    const auto result = examine(maps, quad, hints);
    if (const auto* found = std::get_if<std::vector<Lattice>>(&result)) {
      search.lattices.insert(search.lattices.end(), found->begin(), found->end());
      continue;
    }
    const auto& trouble = std::get<Trouble>(result);
    if (search.remarks.empty()) refusal = trouble.reason + "; " + trouble.remedy;
    search.remarks.push_back(trouble.reason);
  }
  if (search.lattices.empty()) search.refusal = refusal;
  return search;
}

LatticeSearch find_lattices(const cv::Mat& bgr, const Hints& hints, const Trace& trace) {
  if (hints.corners && hints.rows && hints.cols)
    return {{in_photo(lattice_from_corners(hints), bgr.size())},
            "",
            {"the cells were laid through the stated corners"}};
  const LatticeMaps maps = read_lattice_maps(bgr, trace);
  LatticeSearch search = find_in_maps(maps, hints);
  for (Lattice& lattice : search.lattices)
    lattice = numbered(scaled(lattice, 1 / maps.map_from_photo), hints, bgr.size());
  if (const double px = smallest_cell(search.lattices); px < kFewestPx)
    return {{},
            fmt::format("the cells are {:.0f} px wide in the photo, and {:.0f} are needed; go nearer or send "
                        "the photo in full size",
                        px, kFewestPx),
            search.remarks};
  if (search.lattices.empty() && !maps.fault.empty()) search.refusal = maps.fault;
  return search;
}

}  // namespace braird::vision
