// SPDX-License-Identifier: Apache-2.0
#include "vision/take_census.h"

#include <fmt/format.h>

#include <algorithm>
#include <future>
#include <iterator>
#include <opencv2/imgproc.hpp>
#include <set>
#include <variant>

#include "vision/cell_chances.h"
#include "vision/flat_tray.h"
#include "vision/labelled_trays.h"
#include "vision/labels.h"
#include "vision/looks.h"
#include "vision/numbering.h"
#include "vision/plant_places.h"
#include "vision/seedlings.h"
#include "vision/seeds.h"
#include "vision/spoilt.h"

namespace braird::vision {
namespace {

Point to_point(cv::Point2d p) {
  return {p.x, p.y};
}

Cell to_cell(const Lattice& lattice, int row, int col, const CountChances& chances) {
  Cell cell;
  cell.row = row;
  cell.col = col;
  cell.centre_px = to_point(cell_centre(lattice, row, col));
  return with_chances(std::move(cell), chances);
}

/// `lattice`: in the photo's own pixels.
Tray to_tray(const Lattice& lattice, const std::vector<CountChances>& chances) {
  Tray tray;
  tray.layout = layout_of(lattice);
  std::ranges::transform(corner_centres(lattice), tray.corners_px.begin(), to_point);
  tray.pitch_px = pitch_at(lattice, {(lattice.cols - 1) / 2.0, (lattice.rows - 1) / 2.0});
  tray.fit = lattice.fit;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col)
      tray.cells.push_back(to_cell(lattice, row, col, chances[tray.cells.size()]));
  return tray;
}

void add_plants(Tray& tray, const cv::Mat& bgr, const Lattice& lattice) {
  const auto places = plant_places(bgr, lattice);
  for (std::size_t at = 0; at < places.size(); ++at)
    if (places[at]) tray.cells[at].plant = to_point(*places[at]);
}

/// The chances of what is asked for, or why they are not to be believed.
std::variant<std::vector<CountChances>, std::string> count_cells(const Photo& photo, const Lattice& lattice,
                                                                 const Hints& hints, const Trace& trace) {
  if (hints.counted != Counted::seeds) return count_seedlings(photo.bgr, lattice, hints, trace);
  SeedsSeen seen = see_seeds(photo.bgr, lattice, hints, trace);
  if (std::string why = why_no_count(photo.bgr, lattice, hints, seen); !why.empty()) return why;
  return std::move(seen.chances);
}

/// What to know of counts of cells sown with more seeds than the networks learned to count; mostly empty.
std::string remark_on_many(const Hints& hints) {
  const int most = most_seeds_learned(hints.habit);
  if (hints.seeds_per_cell.value_or(0) <= most) return "";
  return fmt::format(
      "{} seeds a cell are more than braird learned to count{}: it looked for up to {}, so full "
      "cells may hold more than it says",
      *hints.seeds_per_cell, hints.habit == SeedlingHabit::unknown ? " without the crop" : "", most);
}

/// Looks for seeds on a tray where nothing has come up; what to know of it, mostly nothing.
std::string remark_on_seeds(const Photo& photo, const Lattice& lattice, const Hints& hints, Tray& tray) {
  constexpr double kJustSown = 0.5;  // of the cells; a sower misses fewer
  if (has_any_up(tray)) return "";
  const double share = seeds_lie_in(photo.bgr, lattice, hints);
  if (share < kJustSown) return "";
  tray.seeds_in_view = share;
  return fmt::format(
      "seeds lie in view in {:.0f} of 100 cells in the middle of a tray, and nothing has come up; count the "
      "seeds with --of seeds",
      100 * share);
}

struct CountedTray {
  Tray tray;
  std::vector<std::string> remarks;  ///< what to know of it; mostly none
};

/// The tray's counts, or why they are not to be believed.
std::variant<CountedTray, std::string> count_tray(const Photo& photo, Lattice lattice, const SeenLabel* label,
                                                  Hints hints, const Trace& trace) {
  if (label) {
    auto told = hints_for(lattice, *label, hints);
    if (const auto* trouble = std::get_if<Trouble>(&told)) return in_words(*trouble);
    hints = std::get<Hints>(std::move(told));
    lattice = numbered_by_label(lattice, *label, hints);
  }
  const auto counted = count_cells(photo, lattice, hints, trace);
  if (const auto* why = std::get_if<std::string>(&counted)) return *why;
  Tray tray = to_tray(scaled(lattice, 1 / photo.scale), std::get<0>(counted));
  tray.seeds_per_cell = hints.seeds_per_cell;
  if (label) tray.label = label->label;
  if (hints.plant_places) add_plants(tray, photo.bgr, lattice);
  CountedTray result{std::move(tray), {remark_on_many(hints)}};
  if (hints.counted == Counted::seedlings) {
    result.remarks.push_back(remark_on_green(photo.bgr, lattice));
    result.remarks.push_back(remark_on_seeds(photo, lattice, hints, result.tray));
  }
  std::erase(result.remarks, "");
  return result;
}

/// The part of a picture that holds these trays.
cv::Rect part_with(const std::vector<Lattice>& lattices, cv::Size picture) {
  std::vector<cv::Point2f> corners;
  for (const Lattice& lattice : lattices)
    for (const cv::Point2d& corner : corner_centres(lattice)) corners.emplace_back(corner);
  return cv::boundingRect(corners) & cv::Rect({}, picture);
}

/// The same places at the scale that the photo was read at.
Hints at_scale(Hints hints, double scale) {
  if (hints.corners)
    for (Point& corner : *hints.corners) corner = scaled(corner, scale);
  for (SeenLabel& label : hints.labels)
    for (Point& corner : label.corners_px) corner = scaled(corner, scale);
  return hints;
}

/// What the network sees of the lattice and, read meanwhile, what the labels say.
std::pair<LatticeMaps, Hints> first_look(const Photo& photo, Hints hints, const Trace& trace,
                                         const LabelReader& read_labels) {
  std::future<std::vector<SeenLabel>> labels;
  if (read_labels) labels = std::async(std::launch::async, read_labels);
  LatticeMaps maps = read_lattice_maps(photo.bgr, trace);
  if (labels.valid()) hints.labels = labels.get();
  return {std::move(maps), std::move(hints)};
}

/// Whether more pixels may show more: the cells are small, or none were made out where something was seen.
bool is_coarse(const LatticeSearch& search) {
  return search.cell_px > 0 ? search.cell_px < kCoarseCell : search.blurry;
}

/// Where row 1, column 1 of each tray lies that has no label to tell it; empty if all have one.
std::string numbering_remark(const Census& census) {
  std::vector<std::string> starts;
  for (const Tray& tray : census.trays) starts.push_back(tray.label ? "" : first_corner(tray.corners_px));
  std::string names;
  if (std::ranges::count(starts, starts[0]) == std::ssize(starts))
    names = starts[0];
  else
    for (std::size_t at = 0; at < starts.size(); ++at)
      if (!starts[at].empty())
        names += (names.empty() ? "" : ", ") + starts[at] + " in tray " + std::to_string(at + 1);
  return names.empty() ? "" : std::string(kFirstCellIs) + names;
}

/// Labels that were read to no use; their tag may stand on a second one.
void remark_on_strays(const std::vector<SeenLabel>& labels, Census& census) {
  std::set<std::string> tags;
  for (const Tray& tray : census.trays)
    if (tray.label) tags.insert(tray.label->tag);
  for (const SeenLabel& seen : labels)
    if (tags.insert(seen.label.tag).second)
      census.remarks.push_back("label " + seen.label.tag +
                               " was read, but belongs to no tray that was counted");
}

void add_once(const std::string& sentence, std::vector<std::string>& sentences) {
  if (!std::ranges::count(sentences, sentence)) sentences.push_back(sentence);
}

/// Trays left out for these reasons: the photo is refused if no other is left.
void leave_out(const std::vector<std::string>& reasons, Reading& reading) {
  const bool others = !reading.census.trays.empty();
  for (const std::string& why : reasons)
    if (others)
      reading.census.remarks.push_back("a tray was not counted: " + why);
    else
      reading.refusal += (reading.refusal.empty() ? "" : "; ") + why;
}

}  // namespace

Reading take_census(const Photo& photo, const Hints& told, const Trace& trace,
                    const LabelReader& read_labels) {
  Stopwatch watch;
  Reading reading;
  auto [maps, in_full] = first_look(photo, told, trace, read_labels);
  watch.lap("look");
  const Hints hints = at_scale(in_full, photo.scale);
  reading.census.photo = photo.facts;
  reading.census.counted = hints.counted;
  const LatticeSearch search = find_labelled(photo.bgr, maps, hints, trace);
  maps = {};  // the cells need the room
  watch.lap("lattice");
  reading.times = watch.times();
  reading.wants_detail = photo.scale < 1 && is_coarse(search);
  if (reading.wants_detail) return reading;
  reading.census.remarks = search.remarks;
  reading.refusal = search.refusal;
  if (!search.lattices.empty()) {
    const cv::Mat trays = photo.bgr(part_with(search.lattices, photo.bgr.size()));
    Taking taking = how_taken(trays, hints.counted);
    if (!taking.spoilt.empty()) {
      reading.refusal = std::move(taking.spoilt);
      return reading;
    }
    std::ranges::move(taking.remarks, std::back_inserter(reading.census.remarks));
  }
  const std::vector<int> label_of = assign_labels(search.lattices, hints.labels);
  std::vector<std::string> left_out;  // why trays were, each reason once
  for (std::size_t at = 0; at < search.lattices.size(); ++at) {
    const SeenLabel* label =
        label_of[at] < 0 ? nullptr : &hints.labels[static_cast<std::size_t>(label_of[at])];
    auto counted = count_tray(photo, search.lattices[at], label, hints, trace);
    if (auto* seen = std::get_if<CountedTray>(&counted)) {
      reading.census.trays.push_back(std::move(seen->tray));
      for (const std::string& remark : seen->remarks) add_once(remark, reading.census.remarks);
    } else {
      add_once(std::get<std::string>(counted), left_out);
    }
  }
  watch.lap("cells");
  reading.times = watch.times();
  leave_out(left_out, reading);
  if (reading.census.trays.empty()) return reading;
  remark_on_strays(hints.labels, reading.census);
  if (const std::string starts = numbering_remark(reading.census); !hints.corners && !starts.empty())
    reading.census.remarks.push_back(starts);
  return reading;
}

}  // namespace braird::vision
