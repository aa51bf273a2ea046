// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/clutter.h"

#include <algorithm>

#include "samples/painter/tray.h"

namespace braird::painter {
namespace {

cv::Point2d towards(double angle, double length) {
  return cv::Point2d(std::cos(angle), std::sin(angle)) * length;
}

Colour paint_colour(Random& random) {
  static const Colour paints[] = {srgb(240, 240, 238), srgb(240, 215, 60), srgb(220, 60, 50),
                                  srgb(60, 110, 200),  srgb(70, 160, 80),  srgb(240, 150, 40),
                                  srgb(40, 40, 42),    srgb(170, 120, 80), srgb(150, 90, 170)};
  return random.pick(paints) * random.uniform(0.7, 1.05);
}

cv::Point2d anywhere(const Relief& relief, Random& random) {
  return relief_mm(relief, {random.uniform(0, relief.height.cols), random.uniform(0, relief.height.rows)});
}

/// A place on the ground, clear of the trays by `margin`; false where there is none.
bool beside_trays(const Scene& scene, const Relief& relief, double margin, cv::Point2d& at, Random& random) {
  for (int attempt = 0; attempt < 30; ++attempt) {
    at = anywhere(relief, random);
    const bool clear = std::none_of(scene.trays.begin(), scene.trays.end(),
                                    [&](const Tray& tray) { return bounds(tray, margin).contains(at); });
    if (clear) return true;
  }
  return false;
}

std::vector<cv::Point2d> box_at(cv::Point2d at, double turn, double length, double width) {
  const cv::Point2d u = towards(turn, length / 2), v = towards(turn + 1.5708, width / 2);
  return {at - u - v, at + u - v, at + u + v, at - u + v};
}

/// Strokes that look like handwriting.
void scribble(Relief& relief, cv::Point2d at, double turn, double length, double height, Random& random) {
  cv::Point2d pen = at - towards(turn, length * 0.4);
  const Colour ink = random.chance(0.7) ? srgb(25, 25, 35) : srgb(30, 40, 140);
  for (double gone = 0; gone < length * 0.75;) {
    const double step = random.uniform(1, 3);
    const cv::Point2d next = pen + towards(turn + random.uniform(-1.4, 1.4), step);
    if (random.chance(0.85)) lay_stroke(relief, {pen, next, 0.35, height, height, 0, ink, 0, clutter_kind});
    pen = next, gone += step * 0.6;
  }
}

void lay_label(Relief& relief, cv::Point2d at, Random& random) {
  const double turn = random.angle(), length = random.uniform(50, 130), width = random.uniform(10, 25);
  const double height = height_at(relief, at) + random.uniform(1, 3);
  const Colour colour =
      random.chance(0.65) ? srgb(238, 238, 232) * random.uniform(0.8, 1) : paint_colour(random);
  lay_sheet(relief, box_at(at, turn, length, width), height, colour, 0.3);
  scribble(relief, at, turn, length, height + 0.05, random);
}

void lay_card(Relief& relief, cv::Point2d at, Random& random) {
  const double turn = random.angle(), height = height_at(relief, at) + 1;
  const double length = random.uniform(55, 150), width = length * random.uniform(0.5, 0.75);
  lay_sheet(relief, box_at(at, turn, length, width), height, paint_colour(random), 0.2);
  for (int field = random.integer(1, 8); field > 0; --field) {
    const cv::Point2d spot = at + towards(turn, random.uniform(-0.3, 0.3) * length) +
                             towards(turn + 1.57, random.uniform(-0.3, 0.3) * width);
    lay_sheet(relief,
              box_at(spot, turn, length * random.uniform(0.1, 0.3), width * random.uniform(0.05, 0.3)),
              height + 0.01, paint_colour(random), 0.2);
  }
}

void lay_tool(Relief& relief, cv::Point2d at, Random& random) {
  const double turn = random.angle(), length = random.uniform(90, 160), height = height_at(relief, at);
  const Colour handle = random.chance(0.5) ? srgb(165, 115, 70) : paint_colour(random),
               metal = srgb(140, 142, 145) * random.uniform(0.5, 1.2);
  const cv::Point2d neck = at + towards(turn, length), tip = neck + towards(turn, random.uniform(60, 150));
  lay_stroke(relief,
             {neck, neck + (tip - neck) * 0.4, 4, height + 10, height + 10, 1, metal, 0.8, clutter_kind});
  lay_stroke(relief, {neck + (tip - neck) * 0.4, tip, random.uniform(6, 35), height + 14, height + 8, 0.3,
                      metal, 0.8, clutter_kind});
  lay_stroke(relief,
             {at, neck, random.uniform(9, 15), height + 26, height + 22, 1, handle, 0.3, clutter_kind});
}

void lay_hose(const Scene& scene, Relief& relief, double level, Random& random) {
  cv::Point2d at = anywhere(relief, random);
  double turn = random.angle(), bend = random.normal(0, 0.03);
  const double half = random.uniform(4, 14);
  const Colour colour = paint_colour(random) * 0.7f;
  const bool over_trays = random.chance(0.15);
  for (int step = 0; step < 110; ++step) {
    const cv::Point2d next = at + towards(turn, 12);
    for (const Tray& tray : scene.trays)
      if (!over_trays && bounds(tray, half).contains(next)) return;
    const double top = std::max(level, height_at(relief, next)) + 2 * half;
    lay_stroke(relief, {at, next, half, top, top, 1, colour, 0.35, clutter_kind});
    at = next, turn += bend, bend = 0.9 * bend + random.normal(0, 0.02);
  }
}

void lay_pot(Relief& relief, cv::Point2d at, double level, Random& random) {
  const double radius = random.uniform(25, 60), high = radius * random.uniform(0.7, 1.2);
  const Colour colour = random.chance(0.5) ? srgb(175, 95, 60) : paint_colour(random) * 0.5f;
  Grain body{at, radius, radius, 0, high, level, colour, 0.2, 60};
  lay_grain(relief, body, random);
  Grain soil{at, radius * 0.9, radius * 0.9, 0, 0, 0, srgb(50, 40, 33)};
  const cv::Rect box = relief_box(relief, {at.x - radius, at.y - radius, 2 * radius, 2 * radius});
  for (int y = box.y; y < box.br().y; ++y)
    for (int x = box.x; x < box.br().x; ++x) {
      const cv::Point2d d = relief_mm(relief, {x + 0.5, y + 0.5}) - at;
      const double away = std::hypot(d.x, d.y);
      if (away < radius) relief.kind(y, x) = clutter_kind;
      if (away > radius * 0.88) continue;
      relief.height(y, x) = static_cast<float>(level + high * 0.8 + random.uniform(0, 1.5));
      relief.albedo(y, x) = soil.colour * random.uniform(0.4, 1.5), relief.gloss(y, x) = 0;
    }
}

void lay_coin(Relief& relief, cv::Point2d at, Random& random) {
  const double r = random.uniform(8, 13), base = height_at(relief, at);
  const Colour metal = random.chance(0.5) ? srgb(185, 180, 170) : srgb(180, 130, 80);
  lay_grain(relief, {at, r, r, 0, 1.8, base, metal, 0.7, 30, 0.03}, random);
  lay_grain(relief, {at, r * 0.5, r * 0.4, 1, 2.1, base, metal * 0.9f, 0.6, 8, 0.1}, random);
}

void lay_dead_leaf(Relief& relief, cv::Point2d at, Random& random) {
  const double r = random.log_uniform(5, 28);
  const Colour colour = random.chance(0.7) ? srgb(125, 98, 65) * random.uniform(0.35, 1.2)
                                           : srgb(105, 118, 60) * random.uniform(0.5, 1.1);
  Grain leaf{at,
             r,
             r * random.uniform(0.3, 0.6),
             random.angle(),
             random.uniform(1, 4),
             height_at(relief, at) + 0.4,
             colour,
             0.15};
  leaf.mottle = 0.15;
  lay_grain(relief, leaf, random);
}

/// A label that stands in a cell and leans.
void stand_stake(const Tray& tray, const Relief& relief, std::vector<Body>& bodies, Random& random) {
  const cv::Point2d uv = cell_uv(tray, random.integer(0, tray.rows - 1), random.integer(0, tray.cols - 1));
  const cv::Point2d at =
      place_of(tray, uv + cv::Point2d(random.uniform(-0.4, 0.4), random.uniform(-0.4, 0.4)));
  Blade blade;
  blade.foot = {static_cast<float>(at.x), static_cast<float>(at.y),
                static_cast<float>(height_at(relief, at))};
  blade.heading = random.angle(), blade.rise = random.uniform(0.3, 1.3), blade.arch = 0.1, blade.fold = 0;
  blade.length_mm = random.uniform(25, 90), blade.half_width_mm = random.uniform(5, 10), blade.fullness = 14;
  blade.colour = random.chance(0.7) ? srgb(240, 240, 235) : paint_colour(random), blade.rib = blade.colour;
  Body stake;
  stake.translucency = 0.2f;
  grow_blade(stake, blade);
  bodies.push_back(std::move(stake));
}

}  // namespace

void lay_clutter(const Scene& scene, double level, Relief& relief, std::vector<Body>& bodies, Random random) {
  const Clutter& clutter = scene.clutter;
  cv::Point2d at;
  for (int i = 0; i < clutter.leaves; ++i) lay_dead_leaf(relief, anywhere(relief, random), random);
  for (int i = 0; i < clutter.cards; ++i)
    if (beside_trays(scene, relief, 60, at, random)) lay_card(relief, at, random);
  for (int i = 0; i < clutter.tools; ++i)
    if (beside_trays(scene, relief, 90, at, random)) lay_tool(relief, at, random);
  for (int i = 0; i < clutter.pots; ++i)
    if (beside_trays(scene, relief, 65, at, random)) lay_pot(relief, at, level, random);
  for (int i = 0; i < clutter.coins; ++i)
    if (beside_trays(scene, relief, 15, at, random)) lay_coin(relief, at, random);
  for (int i = 0; i < clutter.hoses; ++i) lay_hose(scene, relief, level, random);
  for (int i = 0; i < clutter.labels; ++i)
    if (!scene.trays.empty() && random.chance(0.4)) {
      const auto corners = outline(random.pick(scene.trays));
      const int side = random.integer(0, 3);
      lay_label(relief, corners[side] + (corners[(side + 1) % 4] - corners[side]) * random.uniform(), random);
    } else {
      lay_label(relief, anywhere(relief, random), random);
    }
  for (int i = 0; i < clutter.stakes && !scene.trays.empty(); ++i)
    stand_stake(random.pick(scene.trays), relief, bodies, random);
}

}  // namespace braird::painter
