// SPDX-License-Identifier: Apache-2.0
#include "calibration/census_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "calibration/json_words.h"

namespace braird {
namespace {

using Json = nlohmann::ordered_json;

double rounded(double value, double per_unit) {
  return std::round(value * per_unit) / per_unit;
}
double to_tenth(double pixels) {
  return rounded(pixels, 10);
}
double to_chance(double chance) {
  return rounded(chance, 10000);
}

Json point_json(Point p) {
  return {to_tenth(p.x), to_tenth(p.y)};
}

Json cell_json(const Cell& cell) {
  Json chances = Json::array();
  for (double chance : cell.probability) chances.push_back(to_chance(chance));
  Json json = {{"row", cell.row},
               {"col", cell.col},
               {"x", to_tenth(cell.centre_px.x)},
               {"y", to_tenth(cell.centre_px.y)},
               {"state", name_of(state_of(cell.count))},
               {"count", cell.count},
               {"probability", std::move(chances)},
               {"review", cell.review}};
  if (cell.plant) json["plant"] = {rounded(cell.plant->x, 25), rounded(cell.plant->y, 25)};
  return json;
}

Json label_json(const TrayLabel& label) {
  return {{"tag", label.tag},
          {"lot", or_null(label.lot)},
          {"crop", or_null(label.crop)},
          {"sown_on", or_null(label.sown_on)},
          {"seeds_per_cell", or_null(label.seeds_per_cell)},
          {"tray", or_null(label.tray)}};
}

Json tray_json(const Tray& tray, Counted counted) {
  Json corners = Json::array(), cells = Json::array();
  for (Point corner : tray.corners_px) corners.push_back(point_json(corner));
  for (const Cell& cell : tray.cells) cells.push_back(cell_json(cell));
  Json json = {{"rows", tray.layout.rows},
               {"cols", tray.layout.cols},
               {"lattice", name_of(tray.layout.lattice)},
               {"corners_px", std::move(corners)},
               {"pitch_px", to_tenth(tray.pitch_px)},
               {"fit", to_chance(tray.fit)},
               {"crop", or_null(tray.crop)},
               {"seeds_per_cell", or_null(tray.seeds_per_cell)},
               {"cells", std::move(cells)},
               {"summary", summary_json(summarise(tray), counted)}};
  if (tray.label) json["label"] = label_json(*tray.label);
  if (tray.lot) json["lot"] = *tray.lot;
  if (tray.sown_on) json["sown_on"] = *tray.sown_on;
  if (tray.seeds_in_view) json["seeds_in_view"] = to_chance(*tray.seeds_in_view);
  return json;
}

}  // namespace

Json summary_json(const TraySummary& sum, Counted counted) {
  return {{"cells", sum.cells},
          {"empty", sum.empty},
          {"single", sum.single},
          {"multiple", sum.multiple},
          {name_of(counted), sum.seedlings},
          {"review", sum.review}};
}

Json to_json(const Census& census) {
  const PhotoFacts& photo = census.photo;
  Json trays = Json::array();
  for (const Tray& tray : census.trays) trays.push_back(tray_json(tray, census.counted));
  return {{"format", kCensusFormat},
          {"version", kCensusVersion},
          {"counted", name_of(census.counted)},
          {"photo",
           {{"file", photo.file},
            {"width", photo.width},
            {"height", photo.height},
            {"taken", or_null(photo.taken)}}},
          {"trays", std::move(trays)},
          {"remarks", census.remarks}};
}

}  // namespace braird
