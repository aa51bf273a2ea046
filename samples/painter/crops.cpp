// SPDX-License-Identifier: Apache-2.0
// Sizes and habits of seedlings: common practice, from memory, no source.
#include "samples/painter/crops.h"

#include <algorithm>
#include <vector>

namespace braird::painter {
namespace {

struct Sort {
  const char* name;
  Habit habit;
  int plants_per_seed;
  double cotyledon, slenderness, notch, petiole, stem, stem_width;
  double true_slenderness, lobes, red_stem;  ///< red_stem: chance of red or purple stems
};

constexpr Sort sorts[] = {
    {"brassica", Habit::round_pair, 1, 8, 1.05, 0.22, 0.5, 20, 1.2, 0.7, 0.12, 0.4},
    {"radish", Habit::round_pair, 1, 11, 1.1, 0.28, 0.4, 22, 1.6, 0.5, 0.2, 0.5},
    {"lettuce", Habit::round_pair, 1, 7, 0.65, 0.03, 0.25, 8, 1.0, 0.6, 0.08, 0.1},
    {"cornsalad", Habit::round_pair, 1, 6, 1.1, 0.05, 0.5, 10, 0.9, 0.65, 0.03, 0.2},
    {"cucumber", Habit::round_pair, 1, 24, 0.6, 0, 0.15, 30, 2.6, 0.95, 0.06, 0.02},
    {"tomato", Habit::strap_pair, 1, 18, 0.24, 0, 0.3, 30, 1.2, 0.5, 0.3, 0.6},
    {"pepper", Habit::strap_pair, 1, 17, 0.34, 0, 0.25, 25, 1.4, 0.55, 0.02, 0.2},
    {"beet", Habit::strap_pair, 3, 15, 0.27, 0, 0.2, 20, 1.3, 0.6, 0.05, 0.85},
    {"chard", Habit::strap_pair, 3, 15, 0.28, 0, 0.2, 20, 1.4, 0.6, 0.06, 0.6},
    {"spinach", Habit::strap_pair, 1, 32, 0.12, 0, 0.1, 14, 1.3, 0.55, 0.08, 0.2},
    {"carrot", Habit::strap_pair, 1, 14, 0.13, 0, 0.3, 12, 0.7, 0.5, 0.5, 0.2},
    {"onion", Habit::thread, 1, 55, 0, 0, 0, 0, 1.4, 0, 0, 0.03},
    {"leek", Habit::thread, 1, 50, 0, 0, 0, 0, 1.3, 0, 0, 0.02},
    {"salad onion", Habit::thread, 1, 45, 0, 0, 0, 0, 2.0, 0, 0, 0.1},
};

double varied(double value, double spread, Random& random) {
  return value * std::exp(random.normal(0, spread));
}

/// From yellow-green to blue-green, from pale to dark.
Colour leaf_colour(Random& random) {
  const double green = random.log_uniform(0.09, 0.36);
  const bool waxy = random.chance(0.2);
  const double red =
      waxy ? random.uniform(0.48, 0.68) : random.uniform(0.42, 0.8) + (random.chance(0.1) ? 0.2 : 0);
  const double blue = waxy ? random.uniform(0.32, 0.58) : random.uniform(0.1, 0.36);
  return Colour(static_cast<float>(green * blue), static_cast<float>(green), static_cast<float>(green * red));
}

Colour stem_colour(const Colour& leaf, double red_stem, Random& random) {
  if (random.chance(red_stem))
    return random.chance(0.5) ? srgb(170, 60, 90) * random.uniform(0.5, 1.2)
                              : srgb(120, 70, 95) * random.uniform(0.5, 1.3);
  return leaf * 0.5f + Colour(0.25f, 0.45f, 0.42f) * random.uniform(0.3, 0.7);
}

/// Cotyledons of the cabbage family are kidneys on green stalks, broader than long; others have stout stalks
/// too.
void vary_stalks(Crop& crop, Random random) {
  if (crop.habit == Habit::round_pair && random.chance(is_cabbage(crop) ? 0.7 : 0.2)) {
    crop.slenderness = random.uniform(1.05, 1.7), crop.notch = random.uniform(0.1, 0.5);
    crop.petiole = random.uniform(0.2, 1.2);
  }
  if (random.chance(0.3)) crop.cotyledon_mm *= random.uniform(0.5, 0.9);
  if (random.chance(0.6)) crop.petiole_width = random.uniform(0.7, 1.8);
  if (random.chance(0.6)) crop.petiole_green = random.uniform(0.4, 1);
  if (random.chance(0.3)) crop.stem = crop.leaf * static_cast<float>(random.uniform(0.6, 1.2));
}

}  // namespace

bool is_cabbage(const Crop& crop) {
  return crop.name == "brassica" || crop.name == "radish";
}

void colour_leaves(Crop& crop, Random& random) {
  const double kind = crop.habit == Habit::thread ? 1 : random.uniform();
  const Colour red = kind < 0.3
                         ? srgb(60, 40, 56)
                         : srgb(random.uniform(95, 175), random.uniform(45, 95), random.uniform(35, 90));
  const float share = static_cast<float>(kind < 0.5 ? random.uniform(0.8, 1) : random.uniform(0.25, 0.8));
  if (kind < 0.75) {  // red, purple, bronze
    crop.leaf = crop.leaf * (1 - share) + red * static_cast<float>(random.uniform(0.6, 1.3)) * share;
    if (random.chance(0.6))
      crop.stem = srgb(165, 65, 90) * random.uniform(0.4, 1.2);
    else if (random.chance(0.6))
      crop.stem = crop.leaf * static_cast<float>(random.uniform(0.7, 1.6));
    return;
  }
  // Yellow to pale for want of light or food.
  const double light = random.uniform(165, 225);
  const Colour pale = srgb(light * random.uniform(0.88, 1), light, light * random.uniform(0.35, 0.85));
  crop.leaf = crop.leaf * (1 - share) + pale * share;
  crop.stem = crop.stem * 0.3f + pale * 0.7f;
}

Crop any_crop(Habit habit, Random& random) {
  std::vector<Sort> fitting;
  std::copy_if(std::begin(sorts), std::end(sorts), std::back_inserter(fitting),
               [&](const Sort& sort) { return sort.habit == habit; });
  const Sort& sort = random.pick(fitting);
  Crop crop;
  crop.name = sort.name, crop.habit = habit;
  crop.cotyledon_mm = varied(sort.cotyledon, 0.25, random);
  crop.slenderness = std::min(1.25, varied(sort.slenderness, 0.18, random));
  crop.notch = varied(sort.notch, 0.3, random);
  crop.petiole = random.chance(0.65)          ? varied(sort.petiole, 0.25, random)
                 : habit == Habit::round_pair ? random.uniform(0.1, 1.3)  // cotyledons may stand well apart
                                              : random.uniform(0.05, 0.6);
  crop.stem_mm = varied(sort.stem, 0.45, random);
  crop.stem_width_mm = varied(sort.stem_width, 0.18, random);
  crop.fold = random.uniform(-0.1, 0.4);
  crop.lobes = varied(sort.lobes, 0.4, random);
  crop.true_slenderness = varied(sort.true_slenderness, 0.15, random);
  if (habit == Habit::round_pair && random.chance(0.5)) {  // first leaves may look much like cotyledons
    crop.true_slenderness = random.uniform(0.7, 1.1), crop.lobes *= random.uniform(0, 0.6);
    crop.true_notch = random.chance(0.5) ? random.uniform(0, 0.25) : 0;
  }
  crop.opposite = random.chance(0.4);
  crop.crooked = random.chance(0.5) ? random.uniform(0, 0.5) : random.uniform(0.3, 1.6);
  crop.kneed = random.uniform(0.05, 0.8);
  crop.gloss = random.uniform(0.05, 0.6);
  crop.leaf = leaf_colour(random);
  if (habit == Habit::round_pair && random.chance(0.05))
    crop.leaf = srgb(105, 60, 85) * random.uniform(0.6, 1.2);  // red sorts
  crop.stem = stem_colour(crop.leaf, sort.red_stem, random);
  crop.coat = random.chance(0.7) ? srgb(70, 48, 30) * random.uniform(0.3, 1.2) : srgb(25, 24, 24);
  crop.coat_kept = random.chance(0.5) ? random.uniform(0, 0.1) : random.uniform(0.1, 0.7);
  crop.plants_per_seed = sort.plants_per_seed;
  crop.one_more = random.uniform(0.15, 0.65);
  if (habit != Habit::thread) vary_stalks(crop, random.fork(1));
  return crop;
}

SeedsInView any_seeds(Random& random) {
  static const Colour coats[] = {
      srgb(235, 195, 60), srgb(240, 225, 150), srgb(235, 232, 222), srgb(200, 50, 45),   srgb(225, 110, 90),
      srgb(50, 95, 185),  srgb(60, 150, 80),   srgb(150, 105, 65),  srgb(190, 155, 110), srgb(120, 190, 200)};
  SeedsInView seeds;
  seeds.colour = random.pick(coats) * random.uniform(0.7, 1.1);
  seeds.length_mm = random.log_uniform(1.2, 9.5);
  seeds.slenderness = random.chance(0.4) ? random.uniform(0.9, 1) : random.uniform(0.3, 0.9);
  seeds.gloss = random.uniform(0.05, 0.6);
  seeds.dibble_mm = random.chance(0.6) ? random.uniform(1, 8) : 0;
  Random own = random.fork(1);  // so that scenes stay what they were
  seeds.touching = own.chance(0.5) ? own.uniform(0.2, 0.9) : 0;
  return seeds;
}

}  // namespace braird::painter
