// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/any_tray.h"

#include <algorithm>

namespace braird::painter {
namespace {

Medium any_medium(Random& random) {
  static const Colour media[] = {srgb(58, 46, 38), srgb(45, 36, 30),  srgb(75, 58, 44), srgb(95, 68, 48),
                                 srgb(38, 33, 30), srgb(110, 85, 62), srgb(85, 80, 74)};
  Medium medium;
  medium.colour = random.pick(media) * random.log_uniform(0.55, 1.6);
  medium.lump_mm = random.log_uniform(0.9, 4);
  medium.roughness_mm = medium.lump_mm * random.uniform(0.15, 0.5);
  medium.mottle = random.uniform(0.12, 0.45);
  if (random.chance(0.6)) medium.fibres = random.log_uniform(0.3, 8);
  if (random.chance(0.5)) medium.perlite = random.log_uniform(0.2, 14);
  if (random.chance(0.3)) medium.vermiculite = random.log_uniform(0.5, 12);
  if (random.chance(0.12)) medium.vermiculite = random.uniform(25, 60);
  if (random.chance(0.1)) medium.sand = random.uniform(0.1, 0.95);
  if (random.chance(0.35)) medium.lumps = random.log_uniform(0.05, 1);
  if (random.chance(0.4)) medium.wet = random.uniform(0.05, 0.9);
  if (random.chance(0.1)) medium.algae = random.uniform(0.05, 0.6);
  if (random.chance(0.05)) medium.moss = random.uniform(0.03, 0.3);
  medium.spill = random.chance(0.5)    ? random.uniform(0, 0.06)
                 : random.chance(0.75) ? random.uniform(0.05, 0.35)
                                       : random.uniform(0.35, 0.9);
  return medium;
}

Sowing any_sowing(const Crop& crop, Random& random) {
  Sowing sowing;
  const bool thread = crop.habit == Habit::thread;
  const int most = crop.plants_per_seed > 1 ? 3 : thread ? 8 : 4;
  sowing.seeds_per_cell = random.chance(thread ? 0.2 : 0.5) ? 1 : random.integer(2, most);
  if (thread && random.chance(0.5))
    sowing.seeds_per_cell = std::min(sowing.seeds_per_cell, random.integer(3, 5));
  sowing.seeds_spread = random.chance(0.5) ? random.uniform(0, 0.1) : random.uniform(0, 0.5);
  if (sowing.seeds_per_cell > 1 && random.chance(0.25)) sowing.pinch = random.uniform(0.1, 0.35);
  sowing.skipped = random.chance(0.5) ? random.uniform(0, 0.03) : random.uniform(0.02, 0.12);
  sowing.germination = random.chance(0.7) ? random.uniform(0.7, 1) : random.uniform(0.3, 0.8);
  sowing.clumping = random.chance(0.6) ? random.uniform(0, 0.6) : random.uniform(0.6, 2.5);
  sowing.scatter = random.uniform(0.04, 0.24);
  sowing.stage = random.chance(0.65)  ? random.uniform(0.35, 1.1)
                 : random.chance(0.6) ? random.uniform(0.05, 0.4)
                                      : random.uniform(1.1, 2);
  sowing.stage_spread = random.uniform(0.04, thread ? 0.45 : 0.25);
  sowing.late = random.chance(0.5) ? random.uniform(0, 0.05) : random.uniform(0.05, 0.3);
  sowing.lean = random.uniform(0.08, 0.5) * (thread ? 1.3 : 1);
  sowing.lean_to_light = random.chance(0.3) ? random.uniform(0.1, 0.7) : 0;
  sowing.light_angle = random.angle();
  sowing.weeds = random.chance(0.2) ? random.integer(1, 12) : 0;
  return sowing;
}

Colour plastic(Random& random) {
  static const Colour colours[] = {srgb(30, 30, 32),   srgb(30, 30, 32),    srgb(45, 46, 48),
                                   srgb(80, 84, 92),   srgb(125, 128, 130), srgb(228, 228, 224),
                                   srgb(175, 95, 62),  srgb(50, 100, 60),   srgb(50, 75, 130),
                                   srgb(105, 95, 120), srgb(150, 145, 130), srgb(62, 52, 48)};
  return random.pick(colours) * random.uniform(0.7, 1.25);
}

void shape_square(Tray& tray, Random& random) {
  static const cv::Size makes[] = {{16, 8},  {16, 8}, {12, 6},  {12, 6},  {10, 5}, {20, 10}, {20, 10},
                                   {24, 12}, {8, 8},  {13, 8},  {6, 4},   {8, 5},  {7, 4},   {9, 6},
                                   {18, 9},  {11, 7}, {40, 20}, {28, 14}, {14, 8}, {15, 7}};
  cv::Size make = random.pick(makes);
  if (random.chance(0.3)) {
    const int wide = random.integer(3, 16);
    make = {random.integer(std::max(4, wide), std::min(40, wide * 5 / 2 + 1)), wide};
  }
  if (make.width < make.height || random.chance(0.3)) std::swap(make.width, make.height);
  tray.cols = make.width, tray.rows = make.height;
  const double length = random.uniform(300, 620);
  tray.pitch_mm = std::clamp(length / std::max(make.width, make.height), 13.0, 62.0);
  tray.row_pitch_mm = tray.pitch_mm * (random.chance(0.85) ? 1 : random.uniform(0.94, 1.06));
  tray.opening = random.chance(0.15) ? random.uniform(0.93, 0.97) : random.uniform(0.72, 0.93);
  tray.roundness = random.chance(0.15)  ? 1
                   : random.chance(0.3) ? random.uniform(0, 0.15)
                                        : random.uniform(0.15, 0.7);
  tray.taper = random.uniform(0.05, 0.3);
  tray.rim_mm = random.chance(0.12) ? random.uniform(1, 3) : random.log_uniform(3, 30);
  tray.corner_mm = random.uniform(1, 14);
  tray.lip_mm = random.chance(0.3) ? random.uniform(0.5, 4) : 0;
  tray.depth_mm = std::clamp(tray.pitch_mm * random.uniform(0.9, 1.6), 20.0, 65.0);
  if (random.chance(0.2)) tray.notch_mm = random.uniform(1, 5);
  tray.fill_mm = random.chance(0.5) ? random.uniform(-0.3, 3) : random.uniform(2, 0.3 * tray.depth_mm);
  tray.fill_spread_mm = random.uniform(0.2, 0.12 * tray.depth_mm);
  tray.empty_wells = random.chance(0.03);
  if (random.chance(0.15)) tray.bow[random.integer(0, 1)] = random.normal(0, 0.06);
}

void shape_staggered(Tray& tray, Random& random) {
  static const cv::Size makes[] = {{12, 22}, {12, 22}, {12, 22}, {12, 21}, {10, 18},
                                   {8, 15},  {14, 26}, {16, 20}, {18, 24}, {9, 14}};
  cv::Size make = random.pick(makes);
  if (random.chance(0.2)) make = {random.integer(5, 20), random.integer(6, 28)};
  if (random.chance(0.15)) std::swap(make.width, make.height);
  tray.lattice = LatticeKind::staggered;
  tray.cols = make.width, tray.rows = make.height;
  tray.odd_row_shift = 0.5;
  tray.pitch_mm = random.uniform(18, 42);
  tray.row_pitch_mm = tray.pitch_mm * random.uniform(0.86, 0.95);
  tray.rim_mm = random.chance(0.12) ? 1 : random.uniform(5, 22);
  tray.corner_mm = random.uniform(3, 20);
  tray.lip_mm = random.uniform(0, 6);
  tray.depth_mm = random.uniform(25, 60);
  tray.fill_mm = random.uniform(0, 9);
  tray.fill_spread_mm = random.uniform(0, 1.2);
  tray.paper_corner = random.uniform(0.24, 0.4);
  tray.wall_mm = random.uniform(0.3, 0.9);
  tray.wall_height_mm = random.log_uniform(0.5, 4);
  tray.wall_wave = random.uniform(0.01, 0.06);
  tray.buried = random.chance(0.25) ? random.uniform(0.55, 0.9) : random.uniform(0, 0.55);
  const double light = random.uniform(160, 228);
  tray.paper = srgb(light, light * random.uniform(0.8, 0.92), light * random.uniform(0.58, 0.8)) *
               random.uniform(0.5, 1.1);
  for (double& creep : tray.creep)
    creep = random.chance(0.5) ? random.uniform(-0.08, 0.08) : random.normal(0, 0.01);
  for (double& bow : tray.bow) bow = random.chance(0.5) ? random.normal(0, 0.2) : 0;
  tray.medium.spill *= 0.3;
}

}  // namespace

Tray any_tray(const Crop& crop, Random& random) {
  Tray tray;
  tray.colour = plastic(random);
  tray.gloss = random.uniform(0.05, 0.9);
  tray.wear = random.uniform(0.05, 1);
  tray.turn = random.angle();
  tray.underfilled = random.chance(0.5) ? random.uniform(0, 0.03) : random.uniform(0, 0.12);
  if (random.chance(0.4)) tray.dish_mm = random.uniform(-1, 4);
  tray.medium = any_medium(random);
  tray.sowing = any_sowing(crop, random);
  random.chance(crop.habit == Habit::thread ? 0.6 : 0.28) ? shape_staggered(tray, random)
                                                          : shape_square(tray, random);
  return tray;
}

}  // namespace braird::painter
