// SPDX-License-Identifier: Apache-2.0
// What is usual: common practice, from memory, no source.
#include "samples/painter/ordinary.h"

#include <algorithm>

#include "samples/painter/any_tray.h"
#include "samples/painter/crops.h"

namespace braird::painter {
namespace {

constexpr int most_cells = 300;

/// Kidneys on stout green stalks.
void shape_cabbage(Crop& crop, Random& random) {
  crop.slenderness = random.uniform(0.9, 1.5), crop.notch = random.uniform(0.1, 0.4);
  crop.cotyledon_mm = random.uniform(6, 12), crop.petiole = random.uniform(0.2, 0.9);
  crop.petiole_width = random.uniform(0.6, 1.4), crop.petiole_green = random.uniform(0.4, 1);
  if (random.chance(0.6)) crop.stem = crop.leaf * static_cast<float>(random.uniform(0.7, 1.3));
}

int usual_seeds(const Crop& crop, Random& random) {
  if (crop.habit == Habit::thread) return random.chance(0.15) ? 1 : random.integer(3, 6);
  if (random.chance(crop.plants_per_seed > 1 ? 0.4 : 0.55)) return 1;
  return random.chance(0.75) ? 2 : 3;
}

}  // namespace

Crop ordinary_crop(Random& random) {
  static const Habit habits[] = {Habit::round_pair, Habit::round_pair, Habit::round_pair,
                                 Habit::round_pair, Habit::strap_pair, Habit::strap_pair,
                                 Habit::strap_pair, Habit::thread,     Habit::thread};
  const Habit habit = random.pick(habits);
  const bool cabbage = habit == Habit::round_pair && random.chance(0.6);
  Crop crop = any_crop(habit, random);
  while (cabbage && !is_cabbage(crop)) crop = any_crop(habit, random);
  if (is_cabbage(crop)) shape_cabbage(crop, random);
  return crop;
}

Tray ordinary_tray(const Crop& crop, Random& random) {
  Tray tray = any_tray(crop, random);
  while (tray.rows * tray.cols > most_cells) tray = any_tray(crop, random);
  tray.empty_wells = false;
  Medium& medium = tray.medium;
  medium.algae *= random.chance(0.3), medium.moss *= random.chance(0.3);
  medium.sand *= random.chance(0.3), medium.vermiculite = std::min(medium.vermiculite, 12.0);
  medium.spill = std::min(medium.spill, random.uniform(0, 0.3));
  Sowing& sowing = tray.sowing;
  sowing.seeds_per_cell = usual_seeds(crop, random);
  sowing.seeds_spread = random.uniform(0.02, sowing.seeds_per_cell > 1 ? 0.3 : 0.1);
  sowing.pinch = std::min(sowing.pinch, 0.15);
  sowing.germination = random.uniform(0.68, 0.98);
  sowing.clumping = random.uniform(0, 0.8);
  sowing.scatter = random.uniform(0.04, 0.2);
  sowing.stage = random.chance(0.65) ? random.uniform(0.55, 1.5) : random.uniform(0.05, 0.55);
  sowing.stage_spread = random.uniform(0.04, 0.2);
  sowing.late = random.uniform(0, 0.12);
  sowing.lean = random.uniform(0.06, 0.35);
  return tray;
}

}  // namespace braird::painter
