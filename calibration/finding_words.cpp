// SPDX-License-Identifier: Apache-2.0
#include "calibration/finding_words.h"

#include <fmt/format.h>

#include "calibration/figure_words.h"

namespace braird {
namespace {

constexpr double kNearlyAllEmpty = 0.8;
constexpr double kFew = 0.4;

double rate(int empty, int cells) {
  return cells > 0 ? static_cast<double>(empty) / cells : 0;
}

double rest_rate(const Part& part) {
  return rate(part.empty - part.part_empty, part.cells - part.part_cells);
}

/// Two digits, more of large numbers: "0.82", "2.9", "123".
std::string two_digits(double a_cell) {
  return a_cell < 10 ? fmt::format("{:.2g}", a_cell) : fmt::format("{:.0f}", a_cell);
}

std::string capitalised(std::string words) {
  if (!words.empty() && words[0] >= 'a' && words[0] <= 'z')
    words[0] = static_cast<char>(words[0] - 'a' + 'A');
  return words;
}

}  // namespace

std::string part_sentence(const std::string& place, const Part& part, const std::string& cause,
                          const std::string& rest) {
  return fmt::format("{} has {} % gaps ({} of {}), {} {} %: {}.", capitalised(place),
                     percent(rate(part.part_empty, part.part_cells)), part.part_empty, part.part_cells, rest,
                     percent(rest_rate(part)), cause);
}

std::string edge_plants_sentence(double at_edge, double within, const std::string& cause) {
  return fmt::format("The edge has {} plants a cell, the rest {}: {}.", two_digits(at_edge),
                     two_digits(within), cause);
}

std::string clump_sentence(const JoinCount& joined) {
  return fmt::format(
      "Gaps lie together: {:.0f} pairs of touching gaps where {:.0f} are usual: look for dry or cold "
      "patches, slugs or mice, or an uneven cover.",
      joined.seen, joined.expected.mean);
}

std::string clump_place_sentence(const std::string& place, const Part& part) {
  return fmt::format("{} of the {} lie in {}.", part.part_empty, counted(part.empty, "gap", "gaps"), place);
}

std::string run_sentence(int length, const std::string& place) {
  return fmt::format("{} gaps in a row {}: check whether the sower ran empty or stuck there.", length, place);
}

std::string repeated_sentence(const std::string& place, int empty, int trays, double expected) {
  return fmt::format(
      "{} stayed empty in {} of {} trays, where about {:.1f} would by chance: look for a jammed hole or "
      "nozzle there.",
      capitalised(place), empty, trays, expected);
}

std::string edge_cause(bool edge_is_poorer) {
  return edge_is_poorer ? "edges dry out and cool first; check the watering and the cover there"
                        : "the middle suffers; check for wet, cold or crusted medium there";
}

bool may_be_dry_side(const Part& part, LinePlace place) {
  return place.outermost && rate(part.part_empty, part.part_cells) < kNearlyAllEmpty;
}

std::string line_cause(FindingKind kind, const Part& part, LinePlace place) {
  const bool is_row = kind == FindingKind::row;
  if (may_be_dry_side(part, place))
    return fmt::format("a side may dry out first: check the watering there, and the sower's {}",
                       is_row ? "row" : "hole or line");
  if (place.outermost && place.from_photo && rest_rate(part) <= kFew)
    return "check in the marked photo that the lattice has not crept off the tray, then the sower";
  return is_row ? "check the sower's row, and how evenly it was covered and watered"
                : "check the sower's hole or line for this column";
}

std::string corner_cause() {
  return "a cold or dry corner? check draught, heat and where the watering reaches";
}

std::string corner_name(bool last_rows, bool last_cols) {
  return fmt::format("the corner of the {} rows and {} columns", last_rows ? "last" : "first",
                     last_cols ? "last" : "first");
}

}  // namespace braird
