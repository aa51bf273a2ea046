// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/truth_json.h"

#include <cmath>

namespace braird::painter {
namespace {

using nlohmann::ordered_json;

double rounded(double value, double steps) {
  return std::round(value * steps) / steps;
}

ordered_json point(cv::Point2d p) {
  return {rounded(p.x, 10), rounded(p.y, 10)};
}

ordered_json points(const std::vector<cv::Point2d>& all) {
  ordered_json list = ordered_json::array();
  for (const cv::Point2d& p : all) list.push_back(point(p));
  return list;
}

/// Both ends of each, along their middle.
ordered_json lines(const PaintedPhoto& photo) {
  ordered_json list = ordered_json::array();
  for (const auto& [from, to] : photo.across_px) list.push_back(points({from, to}));
  return list;
}

ordered_json cell_json(const PaintedCell& cell) {
  ordered_json ratios = ordered_json::array();
  for (const double ratio : cell.stands_out) ratios.push_back(rounded(ratio, 10));
  return {{"row", cell.row},
          {"col", cell.col},
          {"centre_px", point(cell.centre_px)},
          {"half_pitch_px", rounded(cell.half_pitch_px, 100)},
          {"seeds", cell.seeds},
          {"seedlings", cell.bases_px.size()},
          {"bases_px", points(cell.bases_px)},
          {"visible", visible(cell)},
          {"bases_visible", cell.bases_visible},
          {"visible_px", cell.visible_px},
          {"stands_out", ratios},
          {"sure", sure(cell)},
          {"seeds_seen", cell.seeds_px.size()},
          {"seeds_px", points(cell.seeds_px)}};
}

ordered_json tray_json(const PaintedTray& painted) {
  const Tray& tray = painted.tray;
  ordered_json json = {{"rows", tray.rows},
                       {"cols", tray.cols},
                       {"lattice", name_of(tray.lattice)},
                       {"pitch_mm", rounded(tray.pitch_mm, 100)},
                       {"row_pitch_mm", rounded(tray.row_pitch_mm, 100)},
                       {"odd_row_shift", tray.odd_row_shift},
                       {"complete", painted.complete},
                       {"outline_px", points(painted.outline_px)},
                       {"cells", ordered_json::array()}};
  for (const PaintedCell& cell : painted.cells) json["cells"].push_back(cell_json(cell));
  return json;
}

double degrees(double rad) {
  return rounded(rad * 57.29577951308232, 100);
}

}  // namespace

ordered_json truth_json(const Scene& scene, const PaintedPhoto& photo, const std::string& file) {
  const bool sown = !scene.trays.empty();
  ordered_json json = {{"photo", file},
                       {"width", photo.picture.cols},
                       {"height", photo.picture.rows},
                       {"scenario", scene.label},
                       {"seed", scene.seed},
                       {"crop", nullptr},
                       {"coloured", scene.coloured},
                       {"overgrown", scene.overgrown},
                       {"days_after_sowing", nullptr},
                       {"seeds_per_cell", nullptr},
                       {"camera",
                        {{"tilt_deg", degrees(scene.camera.tilt)},
                         {"roll_deg", rounded(photo.roll_deg, 100)},
                         {"k1", rounded(scene.camera.k1, 10000)}}},
                       {"across_px", lines(photo)},
                       {"trays", ordered_json::array()}};
  if (sown) {
    json["crop"] = scene.crop.name;
    json["days_after_sowing"] = scene.days_after_sowing;
    json["seeds_per_cell"] = scene.trays[0].sowing.seeds_per_cell;
  }
  for (const PaintedTray& tray : photo.trays) json["trays"].push_back(tray_json(tray));
  return json;
}

}  // namespace braird::painter
