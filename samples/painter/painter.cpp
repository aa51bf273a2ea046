// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/painter.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "samples/painter/clutter.h"
#include "samples/painter/develop.h"
#include "samples/painter/ground.h"
#include "samples/painter/lighting.h"
#include "samples/painter/lying_across.h"
#include "samples/painter/sowing.h"
#include "samples/painter/standing_out.h"
#include "samples/painter/tray.h"
#include "samples/painter/view.h"

namespace braird::painter {
namespace {

constexpr double relief_px_limit = 1.9;  ///< for each pixel of the photo
constexpr double told_apart = 3.5;       ///< standing_out.h: what is fainter teaches a counter to guess

double ground_level(const Scene& scene) {
  double depth = scene.trays.empty() ? 60 : 0;
  for (const Tray& tray : scene.trays) depth = std::max(depth, tray.depth_mm + 2);
  return -depth;
}

Plan plan_for(const Camera& camera, const CameraPose& pose, double level) {
  const double w = pose.size.width, h = pose.size.height;
  std::vector<cv::Point2f> seen;
  for (const double x : {0.0, 0.5, 1.0})
    for (const double y : {0.0, 0.5, 1.0})
      for (const double z : {level, 20.0}) seen.push_back(on_plane(camera, {x * w, y * h}, z));
  cv::Point2f low = seen[0], high = seen[0];
  for (const cv::Point2f& p : seen) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y)};
  }
  const cv::Rect2d world(low.x - 5, low.y - 5, high.x - low.x + 10, high.y - low.y + 10);
  const double px_per_mm = 1.2 * camera.focal_px / pose.distance_mm;
  return {world, std::min(px_per_mm, std::sqrt(relief_px_limit * w * h / world.area()))};
}

double cell_height(const Tray& tray) {
  return tray.lattice == LatticeKind::square ? 0 : -tray.fill_mm;
}

cv::Point2d in_photo(const Camera& camera, cv::Point2d mm, double z) {
  return project(camera, {mm.x, mm.y, z}).px;
}

bool in_frame(cv::Rect frame, cv::Point2d px) {
  return cv::Rect2d(frame).contains(px);
}

/// Corners of a cell's share of the tray, in the photo.
std::vector<cv::Point2d> cell_corners(const Camera& camera, const Tray& tray, cv::Point2d uv) {
  std::vector<cv::Point2d> corners;
  for (const cv::Point2d& off :
       {cv::Point2d(-.5, -.5), cv::Point2d(.5, -.5), cv::Point2d(.5, .5), cv::Point2d(-.5, .5)})
    corners.push_back(in_photo(camera, place_of(tray, uv + off), cell_height(tray)));
  return corners;
}

bool in_view(const Projected& top, const cv::Mat1f& depth, cv::Rect frame) {
  if (!in_frame(frame, top.px)) return false;
  return std::abs(depth(cvFloor(top.px.y), cvFloor(top.px.x)) - top.depth) < 2;
}

/// Whether something lies on a place that once was the top: a label is too thin for `in_view` to tell.
bool is_covered(const Relief& relief, const cv::Vec3d& place) {
  constexpr double kThinnest = 0.3;  // mm
  return height_at(relief, {place[0], place[1]}) > place[2] + kThinnest;
}

PaintedCell truth_of(const SownCell& sown, const Tray& tray, const Camera& camera,
                     const std::vector<Body>& bodies, const std::vector<Sighting>& sightings,
                     const std::vector<double>& ratios) {
  PaintedCell cell;
  cell.row = sown.row, cell.col = sown.col, cell.seeds = sown.seeds;
  const cv::Point2d uv = cell_uv(tray, sown.row, sown.col);
  cell.centre_px = in_photo(camera, place_of(tray, uv), cell_height(tray));
  const auto c = cell_corners(camera, tray, uv);
  cell.half_pitch_px = std::sqrt(std::abs((c[2] - c[0]).cross(c[3] - c[1])) / 2) / 2;
  for (int body : sown.bodies) {
    cell.bases_px.push_back(project(camera, bodies[body].vertices[0].at).px);
    const Sighting& sighting = sightings[body];
    cell.visible_px.push_back(cvRound(sighting.seen_px));
    cell.bases_visible.push_back(sighting.seen_px > 0 &&
                                 (sighting.seen_px >= 12 || sighting.seen_px >= 0.3 * sighting.whole_px));
    cell.stands_out.push_back(ratios[body]);
  }
  return cell;
}

/// Paints over all but the frame.
void cut_to(cv::Mat picture, cv::Rect frame, double grey) {
  const cv::Mat kept = picture(frame).clone();
  picture.setTo(cv::Scalar::all(grey));
  kept.copyTo(picture(frame));
}

/// Quarter-size maps for training: tray interior, counted plants, walls and rims.
cv::Mat3b maps_of(const View& view, const cv::Mat1f& counted, cv::Rect frame) {
  cv::Mat3f full(view.kind.size());
  for (int y = 0; y < full.rows; ++y)
    for (int x = 0; x < full.cols; ++x) {
      const int kind = view.kind(y, x);
      full(y, x) = {kind == medium_kind || kind == wall_kind ? 255.f : 0.f, 255 * counted(y, x),
                    kind == wall_kind || kind == rim_kind ? 255.f : 0.f};
    }
  cut_to(full, frame, 0);
  cv::Mat3f small;
  cv::resize(full, small, {full.cols / 4, full.rows / 4}, 0, 0, cv::INTER_AREA);
  cv::Mat3b maps;
  small.convertTo(maps, CV_8U);
  return maps;
}

}  // namespace

Plan plan_of(const Scene& scene) {
  return plan_for(camera_of(scene.camera), scene.camera, ground_level(scene));
}

PaintedPhoto paint(const Scene& scene) {
  const Random chance(scene.seed);
  const Camera camera = camera_of(scene.camera);
  const cv::Rect frame = frame_of(scene.camera);
  const double level = ground_level(scene);
  const Plan plan = scene.plan ? *scene.plan : plan_of(scene);
  Relief relief = blank_relief(plan.world_mm, plan.px_per_mm, level);
  lay_ground(relief, scene.ground, level, chance.fork(1));
  lay_litter(relief, scene.clutter.litter, chance.fork(2));
  std::vector<Body> bodies;
  std::vector<std::vector<SownCell>> sown;
  for (std::size_t i = 0; i < scene.trays.size(); ++i) {
    lay_tray(relief, scene.trays[i], chance.fork(10 + i));
    sown.push_back(sow(scene, scene.trays[i], relief, bodies, chance.fork(30 + i)));
  }
  for (std::size_t i = 0; i < scene.trays.size(); ++i)
    grow_weeds(scene, scene.trays[i], relief, bodies, chance.fork(50 + i));
  lay_clutter(scene, level, relief, bodies, chance.fork(3));
  lay_across(scene, relief);

  const cv::Mat3f light = light_up(relief, bodies, scene.light, camera, chance.fork(4));
  View view = look(camera, scene.camera.size, relief, light);
  const cv::Mat3f bare = view.light.clone();
  cv::Mat1f counted;
  const std::vector<Sighting> sightings = put_bodies(view, counted, camera, bodies, frame);

  PaintedPhoto photo;
  const float gain = metered(view.light);
  photo.picture = develop(view.light, gain, scene.finish, chance.fork(5));
  const std::vector<double> ratios = standing_out(
      photo.picture, develop(bare, gain, scene.finish, chance.fork(5)), view.front, bodies.size());
  cut_to(photo.picture, frame, scene.camera.pad_grey);
  photo.maps = maps_of(view, counted, frame);
  photo.roll_deg = (scene.camera.roll + (scene.trays.empty() ? 0 : scene.trays[0].turn)) * 180 / CV_PI;
  for (const Thing& thing : scene.across)
    photo.across_px.emplace_back(in_photo(camera, thing.from, 0), in_photo(camera, thing.to, 0));
  for (const Stripe& stripe : scene.light.stripes)
    photo.across_px.emplace_back(in_photo(camera, stripe.from, 0), in_photo(camera, stripe.to, 0));
  for (std::size_t i = 0; i < scene.trays.size(); ++i) {
    PaintedTray tray{scene.trays[i], true, {}, {}};
    for (const cv::Point2d& corner : outline(tray.tray))
      tray.outline_px.push_back(in_photo(camera, corner, tray.tray.lip_mm));
    for (const SownCell& cell : sown[i]) {
      const auto corners = cell_corners(camera, tray.tray, cell_uv(tray.tray, cell.row, cell.col));
      const bool whole =
          std::all_of(corners.begin(), corners.end(), [&](auto px) { return in_frame(frame, px); });
      tray.complete = tray.complete && whole;
      if (!whole) continue;
      tray.cells.push_back(truth_of(cell, tray.tray, camera, bodies, sightings, ratios));
      for (const cv::Vec3d& seed : cell.seeds_in_view)
        if (const Projected top = project(camera, seed);
            !is_covered(relief, seed) && in_view(top, view.depth, frame))
          tray.cells.back().seeds_px.push_back(top.px);
    }
    photo.trays.push_back(std::move(tray));
  }
  return photo;
}

int visible(const PaintedCell& cell) {
  return static_cast<int>(std::count(cell.bases_visible.begin(), cell.bases_visible.end(), true));
}

bool sure(const PaintedCell& cell) {
  for (std::size_t i = 0; i < cell.stands_out.size(); ++i)
    if (cell.bases_visible[i] && cell.stands_out[i] >= told_apart) return true;
  return visible(cell) == 0;
}

}  // namespace braird::painter
