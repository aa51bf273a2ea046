// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/seedling.h"

#include <algorithm>

namespace braird::painter {
namespace {

float f(double value) {
  return static_cast<float>(value);
}

cv::Vec3f pointing(double heading, double rise) {
  return {f(std::cos(heading) * std::cos(rise)), f(std::sin(heading) * std::cos(rise)), f(std::sin(rise))};
}

struct Dye {
  Colour leaf, stem, pale;
};

/// The plant's own colours: paler and yellower while it unfolds.
Dye dye_of(const Crop& crop, double stage, Random& random) {
  const float light = f(std::exp(random.normal(0, 0.13)));
  const float young = f(std::clamp(0.8 - stage, 0.0, 0.8));
  Colour leaf = crop.leaf * light;
  leaf[2] *= f(1 + random.normal(0, 0.08)) + 0.5f * young;
  leaf[0] *= f(1 + random.normal(0, 0.12));
  leaf[1] *= 1 + 0.2f * young;
  const Colour pale(0.35f, 0.6f, 0.6f);
  return {leaf, crop.stem * light, crop.stem * 0.4f + pale * 0.6f};
}

/// An axis that starts upright but for its lean and turns by `bends` (rad) at each further step.
std::vector<cv::Vec3f> axis_from(cv::Vec3f foot, double heading, double rise, double step,
                                 const std::vector<double>& bends) {
  std::vector<cv::Vec3f> axis{foot};
  for (double bend : bends) {
    rise += bend;
    axis.push_back(axis.back() + pointing(heading, rise) * f(step));
  }
  return axis;
}

std::vector<float> even(std::size_t count, double from, double to) {
  std::vector<float> radius;
  for (std::size_t i = 0; i < count; ++i)
    radius.push_back(f(from + (to - from) * i / std::max<std::size_t>(1, count - 1)));
  return radius;
}

void put_coat(Body& body, const Crop& crop, cv::Vec3f at, Random& random) {
  const cv::Vec3f along = pointing(random.angle(), random.uniform(-0.6, 0.6)) * f(random.uniform(0.5, 1.1));
  const float r = f(random.uniform(0.5, 1.1));
  grow_rod(body, {{at - along, at, at + along}, {0.15f, r, 0.15f}, crop.coat, crop.coat * 1.4f});
}

/// Breaking through: a bow whose tip is still in the medium.
void grow_bow(Body& body, const Crop& crop, const Growth& growth, Random& random) {
  const Dye dye = dye_of(crop, growth.stage, random);
  const double width = crop.stem_width_mm * random.uniform(0.45, 0.65), heading = random.angle();
  const double size = (crop.habit == Habit::thread ? 0.8 : 0.45) * (3 + 12 * growth.stage) *
                      random.uniform(0.6, 1.3) * growth.vigour;
  std::vector<cv::Vec3f> axis;
  for (int i = 0; i <= 8; ++i) {
    const double a = 3.1416 * i / 8;
    axis.push_back(growth.foot + cv::Vec3f(f(std::cos(heading) * size * 0.4 * (1 - std::cos(a))),
                                           f(std::sin(heading) * size * 0.4 * (1 - std::cos(a))),
                                           f(size * std::sin(a) - 0.3)));
  }
  grow_rod(body, {axis, even(axis.size(), width, width), dye.pale,
                  crop.habit == Habit::thread ? dye.leaf : dye.stem});
  if (crop.habit == Habit::thread || growth.stage < 0.1) return;
  Blade lobe{axis[6],
             heading,
             -0.6,
             0.3,
             0.5,
             random.normal(0, 0.5),
             crop.cotyledon_mm * 0.4,
             crop.cotyledon_mm * 0.2};
  lobe.colour = dye.leaf * 0.5f + dye.pale * 0.5f, lobe.rib = dye.pale;
  grow_blade(body, lobe);
}

/// The fold of a thread leaf (onion, leek): up to a knee and down again, from a tight loop to a wide bow.
void grow_flag(Body& body, const Crop& crop, const Growth& growth, Random& random) {
  const Dye dye = dye_of(crop, growth.stage, random);
  const double open = std::clamp((growth.stage - 0.3) / 0.45, 0.0, 1.0);
  const double up = crop.cotyledon_mm * (0.25 + 0.35 * open) * growth.vigour * random.uniform(0.7, 1.2);
  const double down = up * random.uniform(0.25, 0.9), sharp = 2.6 * (1 - open) + random.uniform(0, 0.9);
  const double bow = random.chance(0.5) ? 0.5 + 0.04 * up : up * random.uniform(0.05, 0.2);
  std::vector<double> bends(5, random.normal(0, 0.06));
  bends[0] = 0;
  std::vector<cv::Vec3f> axis =
      axis_from(growth.foot, growth.lean_angle, 1.5708 - growth.lean, up / 5, bends);
  double rise = 1.5708 - growth.lean, turn = growth.lean_angle + random.normal(0, 0.7);
  const double aside = random.normal(0, crop.crooked);
  for (int i = 0; i < 5; ++i)
    axis.push_back(axis.back() + pointing(turn += aside / 5, rise -= sharp / 5) * f(bow));
  const double curled = random.chance(0.4) ? random.uniform(0, 0.35) : 0;
  for (int i = 0; i < 4; ++i)
    axis.push_back(axis.back() +
                   pointing(turn += aside / 8, rise -= curled + random.uniform(0, 0.08)) * f(down / 4));
  for (cv::Vec3f& at : axis) at[2] = std::max(at[2], growth.foot[2] + 0.2f);  // the medium holds it up
  const double half = crop.stem_width_mm / 2;
  grow_rod(body,
           {axis, even(axis.size(), half * 1.1, half * 0.6), dye.leaf * 0.8f + dye.pale * 0.2f, dye.leaf});
  if (random.chance(crop.coat_kept)) put_coat(body, crop, axis.back(), random);
}

/// One grown thread leaf, bent over in its own way.
void grow_thread(Body& body, const Crop& crop, const Growth& growth, double share, Random& random) {
  const Dye dye = dye_of(crop, growth.stage, random);
  const double length = crop.cotyledon_mm * share * growth.vigour * random.uniform(0.6, 1.25);
  constexpr int steps = 13;
  const double droop =
      -std::abs(random.normal(0, 0.07)) - (random.chance(0.25) ? random.uniform(0.02, 0.12) : 0);
  const double aside = random.normal(0, crop.crooked) / steps;
  const int knee = random.chance(crop.kneed) ? random.integer(3, steps - 2) : steps;  // what is left of it
  const double sharp = random.uniform(0.3, 2.2), wide = random.chance(0.5) ? 1 : 3;
  std::vector<cv::Vec3f> axis{growth.foot};
  double rise = 1.5708 - growth.lean, turn = growth.lean_angle;
  for (int i = 0; i < steps; ++i) {
    if (i > 0) rise += droop, turn += aside;
    if (i >= knee && i < knee + wide) rise -= sharp / wide;
    axis.push_back(axis.back() + pointing(turn, rise) * f(length / steps));
    axis.back()[2] = std::max(axis.back()[2], growth.foot[2] + 0.2f);  // the medium holds it up
  }
  const double half = crop.stem_width_mm / 2 * (0.7 + 0.3 * share);
  std::vector<float> radius = even(axis.size(), half * 1.15, half * 0.75);
  radius.back() *= 0.4f;
  grow_rod(body, {axis, radius, dye.leaf * 0.85f + dye.pale * 0.15f, dye.leaf});
  if (random.chance(crop.coat_kept * 0.5)) put_coat(body, crop, axis.back(), random);
}

void grow_true_leaves(Body& body, const Crop& crop, const Growth& growth, cv::Vec3f apex, double heading,
                      Random& random) {
  const Dye dye = dye_of(crop, growth.stage, random);
  const int leaves = std::min(3, static_cast<int>(1 + crop.opposite + (growth.stage - 1) * 2));
  for (int leaf = 0; leaf < leaves; ++leaf) {
    const int behind = crop.opposite ? leaf / 2 : leaf;
    const double size =
        crop.cotyledon_mm *
        std::clamp((growth.stage - 1 - 0.35 * behind) * 1.8, 0.1, crop.habit == Habit::strap_pair ? 1.3 : 2) *
        growth.vigour;
    const double towards = heading + 1.57 + leaf * (crop.opposite ? 3.14 : 2.6) + random.normal(0, 0.3),
                 rise = random.uniform(0.3, 1.2);
    const double stalk = size * random.uniform(0.2, 0.5);
    const cv::Vec3f foot = apex + pointing(towards, rise) * f(stalk);
    grow_rod(
        body,
        {{apex, foot}, even(2, crop.stem_width_mm * 0.35, crop.stem_width_mm * 0.3), dye.stem, dye.leaf});
    Blade blade{foot,
                towards,
                rise,
                random.uniform(0.2, 1),
                crop.fold + 0.1,
                random.normal(0, 0.25),
                size,
                size * crop.true_slenderness / 2};
    blade.lobes = crop.lobes, blade.notch = crop.true_notch, blade.fullness = 1.9,
    blade.belly = random.uniform(0.8, 1.1);
    blade.colour = dye.leaf * f(random.uniform(0.85, 1.2)), blade.rib = dye.leaf * 0.5f + dye.pale * 0.5f;
    grow_blade(body, blade);
  }
}

struct Unfolding {
  double stem, size, rise;  ///< stem and cotyledons against their final size; how steep the cotyledons stand
};

Unfolding unfolding(double stage, Random& random) {
  const double s = std::clamp((stage - 0.15) / 0.75, 0.0, 1.0);
  return {0.35 + 0.65 * s, 0.45 + 0.55 * s, 1.35 * (1 - s) * (1 - s) + random.uniform(-0.1, 0.35)};
}

/// Two cotyledons on a stem, and true leaves later.
void grow_pair(Body& body, const Crop& crop, const Growth& growth, Random& random) {
  const Dye dye = dye_of(crop, growth.stage, random);
  const Unfolding open = unfolding(growth.stage, random);
  const double height = crop.stem_mm * open.stem * growth.vigour * random.uniform(0.6, 1.25);
  const double nod = growth.stage < 0.4 ? random.uniform(0, 1.2) : random.normal(0, 0.08);
  std::vector<double> bends(5, -nod / 5);
  bends[0] = 0;
  const auto axis = axis_from(growth.foot, growth.lean_angle, 1.5708 - growth.lean, height / 5, bends);
  const double half = crop.stem_width_mm / 2;
  grow_rod(body, {axis, even(axis.size(), half, half * 0.9), dye.stem, dye.stem * 0.7f + dye.leaf * 0.3f});
  const cv::Vec3f apex = axis.back();
  const double heading = random.angle();
  for (int side = 0; side < 2; ++side) {
    const double towards = heading + 3.1416 * side + random.normal(0, 0.18);
    const double size = crop.cotyledon_mm * open.size * growth.vigour * (side ? random.uniform(0.75, 1) : 1);
    const double rise = std::clamp(
        open.rise + random.normal(0, 0.15) - nod * 0.3 * std::cos(towards - growth.lean_angle), -0.5, 1.5);
    const double stalk = size * crop.petiole;
    const cv::Vec3f foot = apex + pointing(towards, rise + 0.2) * f(stalk);
    const float green = f(crop.petiole_green);
    grow_rod(body, {{apex, foot},
                    even(2, half * crop.petiole_width, half * crop.petiole_width * 0.9),
                    dye.stem * (1 - green) + dye.leaf * green,
                    dye.leaf});
    Blade blade{foot,      towards,
                rise,      random.uniform(0, 0.6),
                crop.fold, random.normal(0, 0.2),
                size,      size * crop.slenderness / 2};
    blade.notch = crop.notch, blade.fullness = crop.slenderness < 0.5 ? 2.6 : 2.1;
    blade.belly = crop.notch > 0.1 ? 1.25 : random.uniform(0.85, 1.1);
    blade.colour = dye.leaf * f(random.uniform(0.92, 1.08)), blade.rib = dye.leaf * 0.6f + dye.pale * 0.4f;
    grow_blade(body, blade);
    if (side == 0 && growth.stage < 0.7 && random.chance(crop.coat_kept))
      put_coat(body, crop, foot + pointing(towards, rise) * f(size * 0.9), random);
  }
  if (growth.stage > 1.05) grow_true_leaves(body, crop, growth, apex, heading, random);
}

}  // namespace

Body grow_seedling(const Crop& crop, const Growth& growth, Random random) {
  Body body;
  body.gloss = f(crop.gloss);
  const bool thread = crop.habit == Habit::thread;
  if (growth.stage < (thread ? 0.3 : 0.2)) {
    grow_bow(body, crop, growth, random);
  } else if (!thread) {
    grow_pair(body, crop, growth, random);
  } else if (growth.stage < 0.75) {
    grow_flag(body, crop, growth, random);
  } else {
    grow_thread(body, crop, growth, std::min(1.0, growth.stage), random);
    Growth second = growth;
    second.lean_angle += random.uniform(2, 4), second.lean = std::abs(random.normal(0, 0.15));
    if (growth.stage > 1.15) grow_thread(body, crop, second, std::min(0.9, growth.stage - 0.9), random);
  }
  return body;
}

}  // namespace braird::painter
