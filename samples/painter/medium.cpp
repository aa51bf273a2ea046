// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/medium.h"

#include <algorithm>
#include <functional>
#include <opencv2/imgproc.hpp>

#include "samples/painter/noise.h"

namespace braird::painter {
namespace {

cv::Point2d anywhere(const Relief& layer, Random& random) {
  return relief_mm(layer, {random.uniform(0, layer.height.cols), random.uniform(0, layer.height.rows)});
}

double area_cm2(const Relief& layer) {
  return layer.height.total() / (layer.px_per_mm * layer.px_per_mm * 100);
}

/// Where smooth noise exceeds what leaves `share` of the surface; 0..1 with soft edges.
cv::Mat1f patches(const Relief& layer, double size_mm, double share, Random& random) {
  const double grain = size_mm * layer.px_per_mm;
  cv::Mat1f noise = fractal(layer.height.size(), {grain, grain}, 6, 0.75, random);
  const double q = std::clamp(share, 1e-4, 1 - 1e-4);
  const double level = 0.6 * std::log((1 - q) / q);  // the logistic's quantile, near the normal's
  cv::Mat1f mask = (noise - level) * random.uniform(0.6, 2.5) + 0.5;
  cv::max(mask, 0, mask);
  cv::min(mask, 1, mask);
  return mask;
}

void lay_base(Relief& layer, const Medium& medium, Random& random) {
  const double grain = medium.lump_mm * layer.px_per_mm;
  const cv::Mat1f crumbs = fractal(layer.height.size(), {grain, grain}, 3, 0.8, random);
  const cv::Mat1f tone = fractal(layer.height.size(), {grain * 1.3, grain * 1.3}, 4, 0.9, random);
  const cv::Mat1f damp = hills(layer.height.size(), {40 * layer.px_per_mm, 40 * layer.px_per_mm}, random);
  for (int y = 0; y < layer.height.rows; ++y)
    for (int x = 0; x < layer.height.cols; ++x) {
      layer.height(y, x) = static_cast<float>(medium.roughness_mm * (std::abs(crumbs(y, x)) - 0.8));
      const double light = std::exp(medium.mottle * (tone(y, x) + 0.3 * damp(y, x)));
      layer.albedo(y, x) = medium.colour * static_cast<float>(std::min(light, 3.5));
      layer.gloss(y, x) = static_cast<float>(medium.wet * std::max(0.f, damp(y, x) + 0.6f));
    }
}

void strew(Relief& layer, double per_cm2, Random& random, const std::function<Grain(cv::Point2d)>& make) {
  const int count = static_cast<int>(std::min(60000.0, per_cm2 * area_cm2(layer)));
  for (int i = 0; i < count; ++i) {
    const cv::Point2d at = anywhere(layer, random);
    Grain grain = make(at);
    grain.base += height_at(layer, at);
    grain.angle = random.angle();
    lay_grain(layer, grain, random);
  }
}

Grain piece(cv::Point2d at, double r, Random& random) {
  Grain grain{at, r, r * random.uniform(0.5, 1)};
  grain.high_mm = r * random.uniform(0.5, 1);
  grain.base = -r * random.uniform(0, 0.6);
  return grain;
}

void strew_crumbs(Relief& layer, const Medium& medium, Random& random) {
  const double r0 = medium.lump_mm * 0.5;
  strew(layer, std::min(90.0, 14 / (r0 * r0)), random, [&](cv::Point2d at) {
    Grain crumb = piece(at, r0 * random.log_uniform(0.4, 1.6), random);
    crumb.colour = medium.colour * std::exp(random.normal(0, 1.4 * medium.mottle));
    crumb.mottle = 0.1, crumb.gloss = 0.3 * medium.wet;
    return crumb;
  });
  strew(layer, medium.lumps, random, [&](cv::Point2d at) {
    Grain lump = piece(at, random.log_uniform(1.5, 5), random);
    const bool bark = random.chance(0.4);
    lump.colour =
        bark ? srgb(120, 80, 50) * random.uniform(0.3, 1.2) : medium.colour * random.uniform(0.6, 1.8);
    lump.mottle = 0.2, lump.flatness = random.uniform(2, 5);
    if (bark) lump.wide_mm *= 0.5;
    return lump;
  });
}

void strew_minerals(Relief& layer, const Medium& medium, Random& random) {
  const double perlite_mm = random.uniform(0.6, 1.3), dust = random.uniform(0.7, 1);
  strew(layer, medium.perlite, random, [&](cv::Point2d at) {
    Grain grain = piece(at, perlite_mm * random.log_uniform(0.5, 1.8), random);
    grain.colour = Colour(0.72f, 0.74f, 0.76f) * dust * random.uniform(0.6, 1.1);
    grain.mottle = 0.12;
    return grain;
  });
  const double flake_mm = random.uniform(0.6, 1.3);
  const double shine = random.uniform(160, 215);
  const Colour gold = srgb(shine, shine * random.uniform(0.76, 0.86), shine * random.uniform(0.42, 0.62));
  strew(layer, medium.vermiculite, random, [&](cv::Point2d at) {
    Grain flake = piece(at, flake_mm * random.log_uniform(0.5, 1.7), random);
    flake.high_mm *= 0.7, flake.flatness = 6, flake.mottle = 0.2, flake.gloss = 0.4;
    flake.colour = random.chance(0.2) ? gold * 0.35 : gold * random.uniform(0.45, 1.25);
    return flake;
  });
  if (medium.sand <= 0) return;
  const cv::Mat1f mask = patches(layer, random.uniform(10, 60), medium.sand, random);
  const cv::Mat1f grit = hills(layer.height.size(), {1.2, 1.2}, random);
  const Colour sand = srgb(random.uniform(150, 215), random.uniform(135, 190), random.uniform(105, 160));
  for (int y = 0; y < layer.height.rows; ++y)
    for (int x = 0; x < layer.height.cols; ++x) {
      const float share = mask(y, x);
      layer.albedo(y, x) +=
          share * (sand * std::clamp(1 + 0.3f * grit(y, x), 0.3f, 1.7f) - layer.albedo(y, x));
      layer.height(y, x) += share * (0.3f - 0.6f * layer.height(y, x));
    }
}

void lay_fibres(Relief& layer, const Medium& medium, Random& random) {
  const int count = static_cast<int>(std::min(20000.0, medium.fibres * area_cm2(layer)));
  for (int i = 0; i < count; ++i) {
    const cv::Point2d at = anywhere(layer, random);
    const double turn = random.angle(), length = random.log_uniform(2, 16), bend = random.normal(0, 0.5);
    const cv::Point2d knee = at + cv::Point2d(std::cos(turn), std::sin(turn)) * length * 0.5;
    const cv::Point2d end = knee + cv::Point2d(std::cos(turn + bend), std::sin(turn + bend)) * length * 0.5;
    const double top = height_at(layer, at) + random.uniform(0, 0.8), half = random.log_uniform(0.12, 0.6);
    const Colour colour = srgb(175, 140, 95) * random.log_uniform(0.15, 1.3);
    lay_stroke(layer, {at, knee, half, top, top + 0.4, 1, colour, 0.1, medium_kind});
    lay_stroke(layer, {knee, end, half, top + 0.4, top, 1, colour, 0.1, medium_kind});
  }
}

/// A green film, and cushions of moss.
void grow_green(Relief& layer, const Medium& medium, Random& random) {
  if (medium.algae <= 0 && medium.moss <= 0) return;
  const cv::Mat1f film = patches(layer, random.uniform(6, 40), medium.algae, random),
                  cushion = patches(layer, 12, medium.moss, random);
  const cv::Mat1f fluff = hills(layer.height.size(), {1.5, 1.5}, random);
  const Colour algae = srgb(random.uniform(40, 95), random.uniform(70, 110), random.uniform(25, 55)) *
                       random.uniform(0.5, 1.2);
  const Colour moss =
      srgb(random.uniform(55, 105), random.uniform(80, 118), random.uniform(22, 50)) * random.uniform(0.4, 1);
  const float strength = medium.algae > 0 ? static_cast<float>(random.uniform(0.3, 0.85)) : 0;
  for (int y = 0; y < layer.height.rows; ++y)
    for (int x = 0; x < layer.height.cols; ++x) {
      layer.albedo(y, x) += strength * film(y, x) * (algae - layer.albedo(y, x));
      if (medium.moss <= 0) continue;
      const float share = cushion(y, x);
      layer.albedo(y, x) +=
          share * (moss * std::clamp(1 + 0.45f * fluff(y, x), 0.2f, 2.f) - layer.albedo(y, x));
      layer.height(y, x) += share * (1 + 0.5f * fluff(y, x));
    }
}

}  // namespace

Relief medium_layer(const Medium& medium, cv::Point2d origin_mm, cv::Size size, double px_per_mm,
                    Random random) {
  Relief layer = blank_relief({0, 0, 1, 1}, px_per_mm, 0);
  layer.origin_mm = origin_mm;
  layer.height.create(size), layer.albedo.create(size), layer.gloss.create(size);
  layer.kind = cv::Mat1b(size, medium_kind);
  lay_base(layer, medium, random);
  strew_crumbs(layer, medium, random);
  lay_fibres(layer, medium, random);
  strew_minerals(layer, medium, random);
  grow_green(layer, medium, random);
  return layer;
}

}  // namespace braird::painter
