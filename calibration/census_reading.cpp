// SPDX-License-Identifier: Apache-2.0
#include <cmath>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "calibration/calendar_day.h"
#include "calibration/census_json.h"
#include "calibration/limits.h"

namespace braird {
namespace {

using Json = nlohmann::ordered_json;

constexpr double kFarthestPx = 1e7;     // of a place in a photo; the ledger packs no more
constexpr double kSumTolerance = 0.01;  // 200 chances, each rounded to 0.0001

[[noreturn]] void refuse(const std::string& why) {
  throw std::invalid_argument("this is no sound census: " + why);
}

void demand(bool holds, const std::string& otherwise) {
  if (!holds) refuse(otherwise);
}

std::string quoted(const char* key) {
  return '"' + std::string(key) + '"';
}

const Json& field(const Json& object, const char* key) {
  demand(object.is_object() && object.contains(key), quoted(key) + " is missing");
  return object.at(key);
}

double number(const Json& value, const char* what) {
  demand(value.is_number() && std::isfinite(value.get<double>()), quoted(what) + " is not a number");
  return value.get<double>();
}

double place(const Json& value, const char* what) {
  const double px = number(value, what);
  demand(std::abs(px) <= kFarthestPx, quoted(what) + " lies far outside any photo");
  return px;
}

int whole(const Json& object, const char* key, int least, int most) {
  const Json& value = field(object, key);
  // Not get<int>() at once: turning a huge float into an int is undefined.
  demand(
      value.is_number_integer() && number(value, key) >= least && number(value, key) <= most,
      quoted(key) + " is not a whole number from " + std::to_string(least) + " to " + std::to_string(most));
  return value.get<int>();
}

std::string text(const Json& object, const char* key) {
  demand(field(object, key).is_string(), quoted(key) + " is not text");
  return object.at(key).get<std::string>();
}

bool yes_or_no(const Json& object, const char* key) {
  demand(field(object, key).is_boolean(), quoted(key) + " is neither true nor false");
  return object.at(key).get<bool>();
}

const Json& list(const Json& object, const char* key) {
  demand(field(object, key).is_array(), quoted(key) + " is not a list");
  return object.at(key);
}

double chance(const Json& value, const char* what) {
  const double p = number(value, what);
  demand(p >= 0 && p <= 1, quoted(what) + " is not between 0 and 1");
  return p;
}

std::optional<std::string> maybe_text(const Json& object, const char* key) {
  if (field(object, key).is_null()) return std::nullopt;
  return text(object, key);
}

std::string day_text(const Json& object, const char* key) {
  std::string day = text(object, key);
  demand(calendar_day(day).has_value(), quoted(key) + " is not a day as in 2026-03-19");
  return day;
}

Point point_from(const Json& pair, const char* what) {
  demand(pair.is_array() && pair.size() == 2, quoted(what) + " holds something other than pairs of numbers");
  return {place(pair[0], what), place(pair[1], what)};
}

LatticeKind lattice_from(const std::string& name) {
  for (LatticeKind kind : {LatticeKind::square, LatticeKind::staggered})
    if (name == name_of(kind)) return kind;
  refuse("the lattice is \"" + name + "\", but must be \"square\" or \"staggered\"");
}

std::vector<double> chances_from(const Json& list_of_chances) {
  std::vector<double> chances;
  double sum = 0;
  for (const Json& value : list_of_chances) {
    chances.push_back(chance(value, "probability"));
    sum += chances.back();
  }
  demand(std::abs(sum - 1) <= kSumTolerance, "the chances of a cell do not sum to 1");
  return chances;
}

Cell cell_from(const Json& object) {
  Cell cell;
  cell.row = whole(object, "row", 0, kMostRows - 1);
  cell.col = whole(object, "col", 0, kMostRows - 1);
  cell.centre_px = {place(field(object, "x"), "x"), place(field(object, "y"), "y")};
  cell.probability = chances_from(list(object, "probability"));
  cell.count = whole(object, "count", 0, static_cast<int>(cell.probability.size()) - 1);
  cell.review = yes_or_no(object, "review");
  if (object.contains("plant")) cell.plant = point_from(object.at("plant"), "plant");
  demand(text(object, "state") == name_of(state_of(cell.count)), "the state of a cell contradicts its count");
  return cell;
}

std::vector<Cell> cells_from(const Json& cell_list, const Layout& layout) {
  demand(cell_list.size() == number_of_cells(layout), "a tray does not list rows times cols cells");
  std::vector<Cell> cells;
  for (const Json& object : cell_list) {
    const int place = static_cast<int>(cells.size());
    cells.push_back(cell_from(object));
    demand(cells.back().row == place / layout.cols && cells.back().col == place % layout.cols,
           "the cells are not listed row by row");
  }
  return cells;
}

std::array<Point, 4> corners_from(const Json& corner_list) {
  demand(corner_list.size() == 4, "\"corners_px\" does not hold four points");
  std::array<Point, 4> corners;
  for (std::size_t i = 0; i < corners.size(); ++i) corners[i] = point_from(corner_list[i], "corners_px");
  return corners;
}

TrayLabel label_from(const Json& object) {
  TrayLabel label{text(object, "tag"),
                  maybe_text(object, "lot"),
                  maybe_text(object, "crop"),
                  maybe_text(object, "sown_on"),
                  std::nullopt,
                  maybe_text(object, "tray")};
  if (!field(object, "seeds_per_cell").is_null())
    label.seeds_per_cell = whole(object, "seeds_per_cell", 1, kMostSeedlings);
  return label;
}

Tray tray_from(const Json& object, Counted counted) {
  Tray tray;
  tray.layout.rows = whole(object, "rows", 1, kMostRows);
  tray.layout.cols = whole(object, "cols", 1, kMostRows);
  tray.layout.lattice = lattice_from(text(object, "lattice"));
  tray.corners_px = corners_from(list(object, "corners_px"));
  tray.pitch_px = number(field(object, "pitch_px"), "pitch_px");
  demand(tray.pitch_px > 0, "\"pitch_px\" is not above 0");
  tray.fit = chance(field(object, "fit"), "fit");
  tray.crop = maybe_text(object, "crop");
  if (!field(object, "seeds_per_cell").is_null())
    tray.seeds_per_cell = whole(object, "seeds_per_cell", 1, kMostSeedlings);
  tray.cells = cells_from(list(object, "cells"), tray.layout);
  if (object.contains("label")) tray.label = label_from(object.at("label"));
  if (object.contains("lot")) tray.lot = text(object, "lot");
  if (object.contains("sown_on")) tray.sown_on = day_text(object, "sown_on");
  if (object.contains("seeds_in_view"))
    tray.seeds_in_view = chance(field(object, "seeds_in_view"), "seeds_in_view");
  const Json& told = field(object, "summary");
  const Json sums = summary_json(summarise(tray), counted);
  for (const auto& [key, value] : sums.items())
    demand(field(told, key.c_str()) == value, "a summary contradicts its cells");
  return tray;
}

/// Censuses from before seeds could be counted do not say, and are of seedlings.
Counted counted_from(const Json& object) {
  if (!object.contains("counted")) return Counted::seedlings;
  const std::string name = text(object, "counted");
  for (Counted counted : {Counted::seedlings, Counted::seeds})
    if (name == name_of(counted)) return counted;
  refuse("it counted \"" + name + "\", which this braird does not know");
}

PhotoFacts facts_from(const Json& object) {
  return {text(object, "file"), whole(object, "width", 1, kMostPixels),
          whole(object, "height", 1, kMostPixels), maybe_text(object, "taken")};
}

void require_readable_version(const Json& object) {
  demand(object.is_object() && object.value("format", Json()) == kCensusFormat,
         std::string("its \"format\" is not \"") + kCensusFormat + '"');
  const int version = whole(object, "version", 1, 1'000'000);
  if (version > kCensusVersion)
    throw std::invalid_argument("this census has version " + std::to_string(version) +
                                ", newer than this braird reads (" + std::to_string(kCensusVersion) +
                                "); install a newer braird");
}

}  // namespace

Census census_from_json(const Json& object) {
  require_readable_version(object);
  Census census;
  census.counted = counted_from(object);
  census.photo = facts_from(field(object, "photo"));
  for (const Json& tray : list(object, "trays")) census.trays.push_back(tray_from(tray, census.counted));
  for (const Json& remark : list(object, "remarks")) {
    demand(remark.is_string(), "\"remarks\" holds something other than text");
    census.remarks.push_back(remark.get<std::string>());
  }
  return census;
}

}  // namespace braird
