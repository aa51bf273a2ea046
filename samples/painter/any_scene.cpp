// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "samples/painter/any_tray.h"
#include "samples/painter/camera.h"
#include "samples/painter/crops.h"
#include "samples/painter/lying_across.h"
#include "samples/painter/ordinary.h"
#include "samples/painter/tray.h"

namespace braird::painter {
namespace {

constexpr double degree = std::numbers::pi / 180;

Light any_light(Random& random) {
  Light light;
  const double kind = random.uniform();
  if (kind < 0.5) {
    const double strength = kind < 0.1 ? random.uniform(0.4, 1.2) : random.log_uniform(1, 4);
    light.sun = Colour(0.82f, 0.94f, 1.0f) * strength;
    light.sky = {1.15f, 1.0f, 0.9f};
    light.sun_height = random.uniform(0.35, 1.35);
    light.softness_mm = random.chance(0.3) ? random.uniform(1, 8) : random.uniform(0.1, 1);
    const double shade = random.uniform();
    light.shade = shade < 0.12   ? Shade::bars
                  : shade < 0.24 ? Shade::leaves
                  : shade < 0.36 ? Shade::person
                                 : Shade::none;
  }
  light.sun_angle = random.angle();
  light.blotches = random.chance(0.4) ? random.uniform(0.02, 0.3) : 0.03;
  return light;
}

Colour any_cast(Random& random) {
  const double kind = random.uniform(),
               strength = random.chance(0.2) ? random.uniform(0.25, 0.55) : random.uniform(0.05, 0.25);
  const float s = static_cast<float>(strength), a = static_cast<float>(random.normal(0, 0.04)),
              b = static_cast<float>(random.normal(0, 0.04));
  if (kind < 0.16) return {1 - s, 1 - 0.25f * s, 1 + 0.3f * s};        // lamps, low sun
  if (kind < 0.22) return {1 + 0.4f * s, 1 - 0.7f * s, 1 + 0.4f * s};  // grow lights
  if (kind < 0.30) return {1 - 0.3f * s, 1 + 0.3f * s, 1 - 0.2f * s};  // tubes, green film
  if (kind < 0.40) return {1 + 0.5f * s, 1, 1 - 0.4f * s};             // shade
  return {1 + a, 1, 1 + b};
}

/// As phones and cameras give it; `careful`: such that a careful person would not take it again.
Finish any_finish(bool careful, Random& random) {
  Finish finish;
  finish.exposure = std::exp(random.normal(0.05, 0.2));
  if (!careful && random.chance(0.12)) finish.exposure *= random.log_uniform(1.4, 2.8);
  const bool dim = random.chance(careful ? 0.05 : 0.25);
  if (dim) finish.exposure *= random.log_uniform(0.2, 0.7);
  finish.cast = any_cast(random);
  finish.vignette = random.uniform(0, 0.45);
  finish.blur_px = !careful && random.chance(0.14) ? random.uniform(1.1, 2.4) : random.uniform(0.3, 0.95);
  finish.motion_px = !careful && random.chance(0.06) ? random.uniform(2, 6) : 0;
  finish.motion_angle = random.angle();
  finish.noise = !careful && random.chance(dim ? 0.7 : 0.25) ? random.log_uniform(0.03, 0.1)
                                                             : random.log_uniform(0.003, 0.03);
  finish.chroma_noise = random.uniform(0, 1);
  finish.smoothing = random.uniform(0, 0.9);
  finish.contrast = random.uniform(0, 0.5);
  finish.saturation = random.uniform(0.65, 1.25);
  finish.sharpening = random.chance(0.3) ? 0 : random.uniform(0.1, 1.3);
  finish.jpeg_quality = random.chance(0.2) ? random.integer(60, 80) : random.integer(80, 97);
  return finish;
}

Clutter any_clutter(Random& random) {
  const auto some = [&](double p, int most) { return random.chance(p) ? random.integer(1, most) : 0; };
  return {some(0.3, 4),  some(0.25, 5), some(0.15, 2), some(0.12, 1), some(0.12, 3),
          some(0.15, 2), some(0.15, 5), some(0.8, 10), some(0.2, 25)};
}

/// How much of the frame the trays' corners fill, seen by this camera: 1 touches the edge.
double filling(const Scene& scene, std::size_t trays) {
  const Camera camera = camera_of(scene.camera);
  double most = 0;
  for (std::size_t i = 0; i < trays; ++i)
    for (const cv::Point2d& corner : outline(scene.trays[i])) {
      const cv::Point2d off = project(camera, {corner.x, corner.y, 0}).px - camera.middle;
      most = std::max({most, std::abs(off.x) / camera.middle.x, std::abs(off.y) / camera.middle.y});
    }
  return most;
}

void aim(Scene& scene, int longer_side_px, std::size_t trays_in_frame, Random& random) {
  CameraPose& camera = scene.camera;
  const double aspect = random.chance(0.75) ? 0.75 : 0.5625;
  camera.size = {longer_side_px, cvRound(longer_side_px * aspect)};
  if (random.chance(0.3)) std::swap(camera.size.width, camera.size.height);
  camera.width_over_focal = random.chance(0.75) ? random.uniform(1.2, 1.4) : random.uniform(0.7, 1.2);
  camera.tilt = degree * std::abs(random.chance(0.8) ? random.normal(0, 4) : random.uniform(5, 25));
  camera.tilt = std::min(camera.tilt, 25 * degree);
  camera.tilt_towards = random.angle();
  camera.k1 = random.chance(0.7) ? std::clamp(random.normal(0, 0.03), -0.1, 0.1) : random.uniform(-0.1, 0.1);
  camera.distance_mm = random.uniform(450, 900);
  camera.roll = random.angle();
  if (scene.trays.empty()) return;
  // Most people lay the tray along the frame, some askew or across.
  const cv::Point2d half = half_extent(scene.trays[0]);
  const bool lengthwise = (half.x > half.y) == (camera.size.width > camera.size.height);
  const double across = random.chance(0.12) ? 1 : 0, half_turns = random.integer(0, 1) * 2;
  if (random.chance(0.85))
    camera.roll = degree * (90 * ((lengthwise ? 0 : 1) + across + half_turns) +
                            random.normal(0, random.chance(0.3) ? 12 : 3)) -
                  scene.trays[0].turn;
  cv::Rect2d all = bounds(scene.trays[0]);
  for (std::size_t i = 1; i < trays_in_frame; ++i) all |= bounds(scene.trays[i]);
  const cv::Point2d middle = (all.tl() + all.br()) * 0.5;
  const bool cut = random.chance(0.08);
  const double fill = cut                  ? random.uniform(1.05, 1.5)
                      : random.chance(0.8) ? random.uniform(0.82, 0.97)
                                           : random.uniform(0.55, 0.85);
  const double stray = cut ? 0.3 : 0.03;
  camera.aim_mm =
      middle + cv::Point2d(random.normal(0, stray) * all.width, random.normal(0, stray) * all.height);
  for (int step = 0; step < 8; ++step)
    camera.distance_mm =
        std::clamp(camera.distance_mm * filling(scene, trays_in_frame) / fill, 150.0, 2500.0);
}

/// Bars, as programs add them to bring a photo to another shape.
void pad(CameraPose& camera, Random& random) {
  static const uchar greys[] = {0, 114, 128, 255};
  camera.pad_grey = random.pick(greys);
  camera.pad_above = random.chance(0.5);
  camera.pad_px = static_cast<int>(random.uniform(0.04, 0.2) *
                                   (camera.pad_above ? camera.size.height : camera.size.width));
}

/// More trays beside the first: some butted, some of another make.
void add_neighbours(Scene& scene, double share, Random& random) {
  const int more = random.chance(1 - share) ? 0 : random.chance(0.7) ? 1 : random.integer(2, 3);
  for (int i = 0; i < more; ++i) {
    const Tray& first = scene.trays[0];
    Tray tray = first;
    if (random.chance(0.25)) tray = any_tray(scene.crop, random);
    tray.sowing = first.sowing;
    tray.sowing.germination = std::clamp(first.sowing.germination + random.normal(0, 0.15), 0.1, 1.0);
    const bool butted = random.chance(0.6);
    const double gap = butted ? random.uniform(0, 2) : random.uniform(5, 60);
    tray.turn = first.turn + (butted ? random.normal(0, 0.004) : random.normal(0, 0.08));
    const cv::Point2d own = half_extent(first), other = half_extent(tray);
    const cv::Point2d u(std::cos(first.turn), std::sin(first.turn)), v(-u.y, u.x);
    const cv::Point2d steps[] = {u * (own.x + other.x + gap), u * -(own.x + other.x + gap),
                                 v * (own.y + other.y + gap)};
    tray.middle_mm = first.middle_mm + steps[i];
    scene.trays.push_back(tray);
  }
}

/// Algae or moss, or both, over much of what is kept wet for long.
void overgrow(Medium& medium, Random& random) {
  const double kind = random.uniform();
  if (kind < 0.6) medium.algae = random.uniform(0.3, 1);
  if (kind > 0.4) medium.moss = random.uniform(0.1, 0.8);
}

/// Growers sow big seedlings in big cells.
void fit_crop(Crop& crop, const Tray& tray, Random& random) {
  const double most = tray.pitch_mm * (crop.habit == Habit::thread ? 3
                                       : crop.slenderness < 0.2    ? 0.9
                                                                   : random.uniform(0.3, 0.6));
  const double shrink = std::min(1.0, most / crop.cotyledon_mm);
  crop.cotyledon_mm *= shrink;
  crop.stem_mm = std::min(crop.stem_mm, 1.2 * tray.pitch_mm);
  crop.stem_width_mm *= std::sqrt(shrink);
}

/// A longer side at which the first tray's cells are as large as in most phone photos.
int side_for(const Scene& scene, bool careful, Random& random) {
  const double cell_px = random.log_uniform(careful ? 56 : 42, 125), fill = 0.85;
  if (scene.trays.empty()) return cvRound(cell_px * 16);
  const cv::Point2d half = half_extent(scene.trays[0]);
  const double cells = 2 * std::max(half.x, half.y) / scene.trays[0].pitch_mm;
  return std::clamp(cvRound(cells * cell_px / fill), 720, 2100);
}

std::string label_of(const Scene& scene) {
  if (scene.trays.empty()) return "no_tray";
  const Tray& tray = scene.trays[0];
  return scene.crop.name + std::to_string(tray.rows) + "x" + std::to_string(tray.cols);
}

}  // namespace

Scene any_scene(std::uint64_t seed, int longer_side_px, Shares shares) {
  Random random(seed * 7919 + 17);
  random.bits();
  Scene scene;
  scene.seed = seed;
  static const Ground grounds[] = {Ground::planks, Ground::planks, Ground::concrete, Ground::concrete,
                                   Ground::gravel, Ground::gravel, Ground::table,    Ground::table,
                                   Ground::grass,  Ground::cloth,  Ground::belt,     Ground::soil,
                                   Ground::slats,  Ground::mesh};
  scene.ground = random.pick(grounds);
  static const Habit habits[] = {Habit::round_pair, Habit::round_pair, Habit::round_pair, Habit::strap_pair,
                                 Habit::strap_pair, Habit::thread,     Habit::thread,     Habit::thread};
  Random usual = random.fork(11);
  const bool ordinary = usual.chance(shares.ordinary);
  scene.crop = ordinary ? ordinary_crop(usual) : any_crop(random.pick(habits), random);
  Random other = random.fork(12);  // so that scenes stay what they were
  scene.coloured = other.chance(shares.coloured);
  if (scene.coloured) colour_leaves(scene.crop, other);
  scene.light = any_light(random);
  const bool careful = random.chance(shares.careful) || ordinary;
  scene.finish = any_finish(careful, random);
  scene.clutter = any_clutter(random);
  std::size_t in_frame = 0;
  const double kind = random.uniform();
  if (kind >= 0.05) {
    scene.trays.push_back(ordinary ? ordinary_tray(scene.crop, usual) : any_tray(scene.crop, random));
    Random wet = random.fork(13);  // likewise
    scene.overgrown = wet.chance(shares.overgrown);
    if (scene.overgrown) overgrow(scene.trays[0].medium, wet);
    fit_crop(scene.crop, scene.trays[0], random);
    Sowing& sowing = scene.trays[0].sowing;
    scene.days_after_sowing = std::max(3, cvRound(4 + 5 * sowing.stage + random.normal(0, 1)));
    if (kind < 0.13) sowing.germination = 0, sowing.weeds = 0;  // before any emergence
    if (kind >= 0.13 && kind < 0.13 + shares.seeds) {
      scene.seeds_in_view = any_seeds(random);
      scene.days_after_sowing = 0;
      scene.trays[0].buried *= 0.4;  // what buries the paper comes after the seeds
      sowing.weeds = 0;
      sowing.seeds_per_cell = random.chance(1 - shares.several_seeds) ? 1 : random.integer(2, 5);
      sowing.seeds_spread = random.chance(0.5) ? random.uniform(0, 0.2) : random.uniform(0.1, 0.6);
      sowing.skipped = random.uniform(0, 0.12);
    }
    if (!scene.seeds_in_view && random.chance(0.08)) {
      scene.seeds_in_view = any_seeds(random);
      scene.seeds_in_view->failed_only = true, scene.seeds_in_view->dibble_mm = 0;
    }
    if (scene.trays[0].empty_wells) sowing.bare = true, sowing.weeds = 0;
    add_neighbours(scene, shares.several_trays, random);
    in_frame = random.chance(0.4) ? scene.trays.size() : 1;
  } else {
    scene.clutter.tools += random.integer(0, 2), scene.clutter.leaves += random.integer(0, 30),
        scene.clutter.pots += random.integer(0, 2);
  }
  aim(scene, longer_side_px > 0 ? longer_side_px : side_for(scene, careful, random), in_frame, random);
  if (random.chance(0.03)) pad(scene.camera, random);
  lay_any_across(scene, shares.across, random.fork(14));
  scene.label = label_of(scene);
  return scene;
}

}  // namespace braird::painter
