// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/ground.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "samples/painter/noise.h"

namespace braird::painter {
namespace {

cv::Rect2d extent(const Relief& relief) {
  const cv::Size size = relief.height.size();
  return {relief.origin_mm.x, relief.origin_mm.y, size.width / relief.px_per_mm,
          size.height / relief.px_per_mm};
}

/// Sets each spot from its place (u along, v across, mm) with `along_x` choosing the direction.
template <class Set>
void each_spot(Relief& relief, bool along_x, Set set) {
  for (int y = 0; y < relief.height.rows; ++y)
    for (int x = 0; x < relief.height.cols; ++x) {
      const double a = (x + 0.5) / relief.px_per_mm, b = (y + 0.5) / relief.px_per_mm;
      along_x ? set(y, x, a, b) : set(y, x, b, a);
    }
}

cv::Size2d stretched(const Relief& relief, bool along_x, double along_mm, double across_mm) {
  const double a = along_mm * relief.px_per_mm, b = across_mm * relief.px_per_mm;
  return along_x ? cv::Size2d(a, b) : cv::Size2d(b, a);
}

Colour wood_colour(Random& random) {
  static const Colour woods[] = {srgb(200, 165, 120), srgb(160, 150, 135), srgb(120, 112, 104),
                                 srgb(140, 95, 60),   srgb(95, 70, 52),    srgb(180, 130, 85),
                                 srgb(150, 160, 150), srgb(215, 195, 160)};
  return random.pick(woods) * random.uniform(0.75, 1.2);
}

struct Boards {
  double width_mm, gap_mm, gap_depth_mm, grain;
};

void lay_boards(Relief& relief, const Boards& boards, double level, Random& random) {
  const bool along_x = random.chance(0.5);
  const Colour wood = wood_colour(random);
  const cv::Mat1f grain = fractal(relief.height.size(), stretched(relief, along_x, 120, 3), 3, 0.8, random);
  const cv::Mat1f tone = fractal(relief.height.size(), stretched(relief, along_x, 300, 40), 3, 0.6, random);
  const double phase = random.uniform(0, boards.width_mm);
  std::vector<double> board_tone(400);
  for (double& t : board_tone) t = random.normal(0, 0.12);
  each_spot(relief, along_x, [&](int y, int x, double, double v) {
    const double place = (v + phase) / boards.width_mm;
    const int board = static_cast<int>(place) % 400;
    const double inside = (place - std::floor(place)) * boards.width_mm;
    const double edge = std::min(inside, boards.width_mm - inside) - boards.gap_mm / 2;
    const double light = 1 + boards.grain * grain(y, x) + 0.1 * tone(y, x) + board_tone[board];
    relief.albedo(y, x) = wood * static_cast<float>(std::clamp(light, 0.25, 2.0) * (edge < 0 ? 0.25 : 1));
    const double rounding = edge < 1.5 ? 0.5 * (1.5 - edge) : 0;
    relief.height(y, x) =
        static_cast<float>(level - (edge < 0 ? boards.gap_depth_mm : rounding) + 0.15 * grain(y, x));
  });
  const cv::Rect2d all = extent(relief);
  for (int knot = random.integer(0, 14); knot > 0; --knot) {
    Grain dot{{random.uniform(all.x, all.br().x), random.uniform(all.y, all.br().y)},
              random.uniform(3, 9),
              random.uniform(2, 6)};
    dot.base = level, dot.high_mm = 0.2, dot.colour = wood * 0.35, dot.mottle = 0.2,
    dot.angle = along_x ? 0 : 1.57;
    lay_grain(relief, dot, random);
  }
}

/// A plain sheet: mottled at several sizes.
void lay_plain(Relief& relief, Colour colour, cv::Vec2d mottle_mm_share, double relief_mm, Random& random) {
  const double grain = mottle_mm_share[0] * relief.px_per_mm, share = mottle_mm_share[1];
  const cv::Mat1f stains =
      fractal(relief.height.size(), {150 * relief.px_per_mm, 150 * relief.px_per_mm}, 4, 0.6, random);
  const cv::Mat1f fine = fractal(relief.height.size(), {grain, grain}, 3, 0.9, random);
  each_spot(relief, true, [&](int y, int x, double, double) {
    const double light = 1 + share * fine(y, x) + 0.6 * share * stains(y, x);
    relief.albedo(y, x) = colour * static_cast<float>(std::clamp(light, 0.3, 1.7));
    relief.height(y, x) += static_cast<float>(relief_mm * fine(y, x));
  });
}

void lay_stones(Relief& relief, double level, Random& random) {
  static const Colour stones[] = {srgb(150, 150, 150), srgb(120, 118, 115), srgb(200, 195, 188),
                                  srgb(165, 140, 115), srgb(90, 92, 98),    srgb(180, 165, 145),
                                  srgb(140, 110, 90)};
  relief.albedo.setTo(cv::Scalar::all(0.05));
  const double variety = random.uniform(0.1, 1);
  const Colour common = random.pick(stones);
  const cv::Rect2d all = extent(relief);
  const double size = std::max(random.uniform(4, 16), std::sqrt(1.7 * all.area() / 16000));
  relief.height.setTo(level - 2 * size);
  const int count = static_cast<int>(1.7 * all.area() / (size * size));
  for (int i = 0; i < count; ++i) {
    const double layer = i / double(count);  // the lower ones first, packed
    const double r = size * random.log_uniform(0.55, 1.3) * (1 - 0.3 * layer);
    Grain stone{{random.uniform(all.x, all.br().x), random.uniform(all.y, all.br().y)},
                r,
                r * random.uniform(0.6, 1)};
    stone.angle = random.angle();
    stone.high_mm = r * random.uniform(0.6, 0.9);
    stone.base = level - size * (1.3 - 1.1 * layer + random.uniform(-0.15, 0.15));
    stone.flatness = random.uniform(1.9, 2.6);
    stone.colour = (common * (1 - variety) + random.pick(stones) * variety) * random.uniform(0.7, 1.2);
    stone.mottle = 0.08;
    lay_grain(relief, stone, random);
  }
}

void lay_cloth(Relief& relief, Random& random) {
  static const Colour dyes[] = {srgb(40, 110, 60), srgb(30, 80, 50),  srgb(90, 140, 80),  srgb(25, 25, 28),
                                srgb(60, 90, 130), srgb(70, 120, 40), srgb(150, 140, 120)};
  const Colour dye = random.pick(dyes) * random.uniform(0.7, 1.3);
  const double thread = random.uniform(0.8, 3) * relief.px_per_mm;
  const cv::Mat1f folds =
      fractal(relief.height.size(), {120 * relief.px_per_mm, 90 * relief.px_per_mm}, 3, 0.5, random);
  const cv::Mat1f fluff = hills(relief.height.size(), {1.5, 1.5}, random);
  const bool lines = random.chance(0.3);
  each_spot(relief, true, [&](int y, int x, double u, double) {
    const double weave = 0.12 * std::sin(x / thread * 3.1) * std::sin(y / thread * 3.1);
    const bool line = lines && std::fmod(u, 150) < 2;
    const double light = (1 + weave + 0.1 * fluff(y, x) + 0.06 * folds(y, x)) * (line ? 2 : 1);
    relief.albedo(y, x) = dye * static_cast<float>(std::clamp(light, 0.2, 2.0));
    relief.height(y, x) += static_cast<float>(2.5 * folds(y, x));
  });
}

void lay_belt(Relief& relief, double level, Random& random) {
  static const Colour belts[] = {srgb(10, 120, 80), srgb(30, 30, 32), srgb(30, 60, 120), srgb(200, 200, 195),
                                 srgb(20, 90, 50)};
  const Colour colour = random.pick(belts) * random.uniform(0.7, 1.2);
  const double diamond = random.uniform(2, 6);
  const cv::Mat1f dirt =
      fractal(relief.height.size(), {80 * relief.px_per_mm, 80 * relief.px_per_mm}, 5, 0.7, random);
  each_spot(relief, true, [&](int y, int x, double u, double v) {
    const double pattern = 0.1 * std::sin((u + v) / diamond * 3.1) * std::sin((u - v) / diamond * 3.1);
    relief.albedo(y, x) = colour * static_cast<float>(std::clamp(1 + pattern + 0.12 * dirt(y, x), 0.3, 1.6));
    relief.gloss(y, x) = 0.25f;
  });
  const cv::Rect2d all = extent(relief);
  for (int rod = random.integer(0, 3); rod > 0; --rod) {
    const bool across = random.chance(0.5);
    const double at = across ? random.uniform(all.y, all.br().y) : random.uniform(all.x, all.br().x);
    Stroke metal{
        {all.x, at}, {all.br().x, at}, random.uniform(4, 15), level + 8, level + 8, 1, srgb(170, 172, 175),
        0.7};
    if (!across) metal.from = {at, all.y}, metal.to = {at, all.br().y};
    lay_stroke(relief, metal);
  }
}

void lay_mesh(Relief& relief, double level, Random& random) {
  const double opening = random.uniform(12, 50), wire = random.uniform(1, 2.5);
  const Colour metal = random.chance(0.6) ? srgb(150, 150, 150) : srgb(60, 70, 60);
  const cv::Mat1f deep =
      fractal(relief.height.size(), {60 * relief.px_per_mm, 60 * relief.px_per_mm}, 4, 0.7, random);
  each_spot(relief, true, [&](int y, int x, double u, double v) {
    const double du = std::abs(std::remainder(u, opening)), dv = std::abs(std::remainder(v, opening));
    const bool on = std::min(du, dv) < wire;
    relief.albedo(y, x) =
        on ? metal : Colour(0.06f, 0.07f, 0.08f) * static_cast<float>(std::max(0.3, 1 + 0.4 * deep(y, x)));
    relief.height(y, x) = static_cast<float>(on ? level - std::min(du, dv) * 0.5 : level - 60);
    relief.gloss(y, x) = on ? 0.4f : 0.0f;
  });
}

}  // namespace

void lay_blades(Relief& relief, cv::Rect2d where, int blades, double level, Random random) {
  const double yellow = random.uniform(0.4, 0.95), blue = random.uniform(0.15, 0.5);
  for (int i = 0; i < blades; ++i) {
    const cv::Point2d foot(random.uniform(where.x, where.br().x), random.uniform(where.y, where.br().y));
    const double length = random.uniform(8, 45), turn = random.angle(), bend = random.normal(0, 0.5);
    const cv::Point2d knee = foot + cv::Point2d(std::cos(turn), std::sin(turn)) * length * 0.6;
    const cv::Point2d tip = knee + cv::Point2d(std::cos(turn + bend), std::sin(turn + bend)) * length * 0.4;
    const double rise = random.uniform(0.1, 0.7) * length, green = random.log_uniform(0.08, 0.3);
    const bool dry = random.chance(0.12);
    const Colour colour = dry ? srgb(170, 150, 100) * random.uniform(0.5, 1)
                              : Colour(static_cast<float>(green * blue * 0.6), static_cast<float>(green),
                                       static_cast<float>(green * yellow * random.uniform(0.7, 1.1)));
    const double half = random.uniform(0.6, 1.8);
    lay_stroke(relief, {foot, knee, half, level, level + rise, 0.5, colour, 0.15});
    lay_stroke(relief, {knee, tip, half * 0.7, level + rise, level + rise * 0.8, 0.5, colour * 1.1, 0.15});
  }
}

void lay_litter(Relief& relief, double pieces, Random random) {
  static const Colour bits[] = {srgb(60, 45, 35), srgb(35, 28, 24), srgb(110, 85, 55), srgb(170, 145, 100),
                                srgb(230, 230, 225)};
  const cv::Rect2d all = extent(relief);
  const int count = static_cast<int>(pieces * all.area() / 1e4);
  for (int i = 0; i < count; ++i) {
    const cv::Point2d at(random.uniform(all.x, all.br().x), random.uniform(all.y, all.br().y));
    const double floor = height_at(relief, at), r = random.log_uniform(0.5, 3);
    const Colour colour = random.pick(bits) * random.uniform(0.6, 1.2);
    if (random.chance(0.75)) {
      Grain bit{at, r, r * random.uniform(0.5, 1), random.angle(), r * 0.7, floor, colour};
      lay_grain(relief, bit, random);
    } else {
      const double turn = random.angle(), length = random.uniform(5, 30);
      const cv::Point2d end = at + cv::Point2d(std::cos(turn), std::sin(turn)) * length;
      lay_stroke(relief, {at, end, random.uniform(0.3, 0.8), floor + 0.8, floor + 0.8, 1, colour});
    }
  }
}

void lay_ground(Relief& relief, Ground ground, double level, Random random) {
  relief.height.setTo(level);
  const cv::Rect2d all = extent(relief);
  switch (ground) {
    case Ground::planks:
      return lay_boards(relief,
                        {random.uniform(60, 160), random.uniform(1, 7), 20, random.uniform(0.06, 0.22)},
                        level, random);
    case Ground::slats:
      return lay_boards(relief,
                        {random.uniform(35, 80), random.uniform(10, 30), 80, random.uniform(0.05, 0.2)},
                        level, random);
    case Ground::concrete:
      return lay_plain(relief, srgb(150, 148, 142) * random.uniform(0.5, 1.2),
                       {random.uniform(1, 4), random.uniform(0.04, 0.14)}, 0.15, random);
    case Ground::table:
      relief.gloss.setTo(random.uniform(0, 0.4));
      return lay_plain(relief, srgb(225, 225, 222) * random.uniform(0.55, 1.1),
                       {3, random.uniform(0.005, 0.04)}, 0.02, random);
    case Ground::gravel:
      return lay_stones(relief, level, random);
    case Ground::cloth:
      return lay_cloth(relief, random);
    case Ground::belt:
      return lay_belt(relief, level, random);
    case Ground::mesh:
      return lay_mesh(relief, level, random);
    case Ground::soil:
      lay_plain(relief, srgb(95, 75, 58) * random.uniform(0.4, 1.3), {random.uniform(3, 10), 0.3}, 1.2,
                random);
      return lay_litter(relief, random.uniform(20, 120), random.fork(1));
    case Ground::grass:
      lay_plain(relief, srgb(60, 70, 40) * random.uniform(0.5, 1), {4, 0.3}, 1, random);
      const int blades = static_cast<int>(std::min(14000.0, all.area() / random.uniform(35, 110)));
      return lay_blades(relief, all, blades, level, random.fork(2));
  }
}

}  // namespace braird::painter
