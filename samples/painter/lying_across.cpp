// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/lying_across.h"

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

#include "samples/painter/tray.h"

namespace braird::painter {
namespace {

/// A line across a tray, mostly along its rows or columns, from beyond one side to beyond the other, at times
/// only to within.
std::pair<cv::Point2d, cv::Point2d> any_line(const Tray& tray, Random& random) {
  const bool along_row = random.chance(0.5);
  const int lines = along_row ? tray.rows : tray.cols, cells = along_row ? tray.cols : tray.rows;
  const double across = random.uniform(-0.4, lines - 0.6), middle = (cells - 1) / 2.0;
  const auto place = [&](double along) {
    return place_of(tray, along_row ? cv::Point2d(along, across) : cv::Point2d(across, along));
  };
  const double askew = random.chance(0.6)   ? random.normal(0, 0.012)
                       : random.chance(0.7) ? random.normal(0, 0.12)
                                            : random.uniform(-0.8, 0.8);
  const cv::Point2d at = place(middle), out = place(middle + 1) - place(middle - 1), u = out / cv::norm(out),
                    way = u * std::cos(askew) + cv::Point2d(-u.y, u.x) * std::sin(askew);
  const double half = cells * cv::norm(out) / 4;
  const double from = half + random.uniform(5, 300),
               to = random.chance(0.2) ? half * random.uniform(-0.3, 0.9) : half + random.uniform(5, 300);
  const double way_round = random.sign();
  return {at - way * (from * way_round), at + way * (to * way_round)};
}

Colour any_colour(Random& random) {
  static const Colour colours[] = {srgb(196, 160, 98),  srgb(120, 130, 70), srgb(150, 105, 65),
                                   srgb(235, 235, 230), srgb(25, 25, 27),   srgb(60, 120, 70),
                                   srgb(150, 152, 155), srgb(60, 90, 170),  srgb(220, 130, 40)};
  return random.pick(colours) * random.uniform(0.55, 1.1);
}

Thing any_thing(const Tray& tray, Random& random) {
  Thing thing;
  std::tie(thing.from, thing.to) = any_line(tray, random);
  thing.half_width_mm =
      random.chance(0.5) ? random.log_uniform(1.2, 8) : tray.pitch_mm * random.log_uniform(0.1, 0.75);
  thing.round = random.chance(0.65) ? 1 : 0.05;
  thing.thick_mm = thing.round > 0.5 ? 2 * thing.half_width_mm : random.log_uniform(0.3, 25);
  thing.colour = any_colour(random), thing.gloss = random.uniform(0, 0.6);
  thing.grain = random.chance(0.5) ? random.uniform(0.02, 0.25) : 0;
  return thing;
}

Stripe any_stripe(const Tray& tray, Random& random) {
  Stripe stripe;
  std::tie(stripe.from, stripe.to) = any_line(tray, random);
  stripe.half_width_mm = tray.pitch_mm * random.log_uniform(0.1, 2);
  stripe.soft_mm = random.log_uniform(0.5, 0.3 * tray.pitch_mm + 1);
  stripe.depth = random.uniform(0.3, 1), stripe.light = random.chance(0.3);
  return stripe;
}

double distance(cv::Point2d p, cv::Point2d from, cv::Point2d to) {
  const cv::Point2d along = to - from, d = p - from;
  const double t = std::clamp(d.dot(along) / std::max(1e-9, along.dot(along)), 0.0, 1.0);
  return cv::norm(d - along * t);
}

}  // namespace

void lay_any_across(Scene& scene, double share, Random random) {
  if (scene.trays.empty() || !random.chance(share)) return;
  const bool shaded = random.chance(0.4);
  for (int left = random.chance(0.6) ? 1 : random.integer(2, 3); left > 0; --left) {
    const Tray& tray = random.pick(scene.trays);
    if (shaded != random.chance(0.1))
      scene.light.stripes.push_back(any_stripe(tray, random));
    else
      scene.across.push_back(any_thing(tray, random));
  }
}

void lay_across(const Scene& scene, Relief& relief) {
  Random random = Random(scene.seed).fork(60);
  double rim = 0;
  for (const Tray& tray : scene.trays) rim = std::max(rim, tray.lip_mm);
  for (const Thing& thing : scene.across) {
    constexpr double piece_mm = 9;
    const double top = rim + thing.thick_mm, length = cv::norm(thing.to - thing.from);
    const int pieces = thing.grain > 0 ? std::max(1, cvRound(length / piece_mm)) : 1;
    const cv::Point2d step = (thing.to - thing.from) / pieces;
    for (int i = 0; i < pieces; ++i) {
      const Colour colour = thing.colour * std::exp(random.normal(0, thing.grain));
      lay_stroke(relief, {thing.from + step * i, thing.from + step * (i + 1), thing.half_width_mm,
                          top + 1e-3 * i, top + 1e-3 * i, thing.round, colour, thing.gloss, clutter_kind});
    }
  }
}

void cast_stripes(cv::Mat1f& lit, double px_per_mm, cv::Point2d origin, const std::vector<Stripe>& stripes) {
  for (const Stripe& stripe : stripes)
    for (int y = 0; y < lit.rows; ++y)
      for (int x = 0; x < lit.cols; ++x) {
        const cv::Point2d at = origin + cv::Point2d(x + 0.5, y + 0.5) / px_per_mm;
        const double within = stripe.half_width_mm - distance(at, stripe.from, stripe.to);
        const double over = std::clamp(within / stripe.soft_mm + 0.5, 0.0, 1.0);
        lit(y, x) *= static_cast<float>(1 - stripe.depth * (stripe.light ? 1 - over : over));
      }
}

}  // namespace braird::painter
