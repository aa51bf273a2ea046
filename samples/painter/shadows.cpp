// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/shadows.h"

#include <opencv2/imgproc.hpp>

#include "samples/painter/lying_across.h"
#include "samples/painter/noise.h"
#include "samples/painter/raster.h"

namespace braird::painter {
namespace {

constexpr float nothing = -1e3f;

cv::Mat1f blurred(const cv::Mat1f& image, double sigma_px) {
  const int shrink = std::max(1, static_cast<int>(sigma_px / 2));
  cv::Mat1f small, result;
  cv::resize(image, small, {}, 1.0 / shrink, 1.0 / shrink, cv::INTER_AREA);
  cv::GaussianBlur(small, small, {}, std::max(0.3, sigma_px / shrink), 0, cv::BORDER_REPLICATE);
  cv::resize(small, result, image.size());
  return result;
}

void cast_bars(cv::Mat1f& lit, double px_per_mm, Random& random) {
  const double turn = random.angle(), spacing = random.log_uniform(40, 250),
               share = random.uniform(0.15, 0.5);
  const double c = std::cos(turn) / px_per_mm, s = std::sin(turn) / px_per_mm, phase = random.uniform();
  const bool crossed = random.chance(0.3);
  for (int y = 0; y < lit.rows; ++y)
    for (int x = 0; x < lit.cols; ++x) {
      const double u = (x * c + y * s) / spacing + phase, v = (y * c - x * s) / spacing;
      if (u - std::floor(u) < share || (crossed && v - std::floor(v) < share * 0.6)) lit(y, x) = 0;
    }
}

void cast_leaves(cv::Mat1f& lit, double px_per_mm, Random& random) {
  const int count = random.integer(8, 60);
  const double size = random.log_uniform(12, 70) * px_per_mm;
  const cv::Point2d thick(random.uniform(0, lit.cols), random.uniform(0, lit.rows));
  for (int i = 0; i < count; ++i) {
    const cv::Point2d at =
        thick + cv::Point2d(random.normal(0, lit.cols * 0.35), random.normal(0, lit.rows * 0.35));
    cv::ellipse(lit,
                cv::RotatedRect(at,
                                cv::Size2f(static_cast<float>(size * random.uniform(0.5, 2)),
                                           static_cast<float>(size * random.uniform(0.3, 1))),
                                static_cast<float>(random.uniform(0, 360))),
                0, cv::FILLED);
  }
}

void cast_person(cv::Mat1f& lit, Random& random) {
  const cv::Point2d foot(random.uniform(0, lit.cols), random.chance(0.5) ? lit.rows : 0);
  const cv::Point2d head(random.uniform(0.2, 0.8) * lit.cols, random.uniform(0.25, 0.75) * lit.rows);
  const double reach = lit.rows * random.uniform(0.1, 0.2);
  cv::line(lit, foot, foot + (head - foot) * 0.7, 0, static_cast<int>(reach * 2.6));
  cv::circle(lit, head, static_cast<int>(reach * 0.8), 0, cv::FILLED);
  const cv::Point2d hand = head + cv::Point2d(random.normal(0, reach), random.normal(0, reach)) * 1.5;
  cv::line(lit, foot + (head - foot) * 0.6, hand, 0, static_cast<int>(reach * 0.7));
}

}  // namespace

cv::Vec3f towards_sun(const Light& light) {
  const double flat = std::cos(light.sun_height);
  return cv::Vec3d(flat * std::cos(light.sun_angle), flat * std::sin(light.sun_angle),
                   std::sin(light.sun_height));
}

cv::Mat1f dark_below(const Relief& relief, const cv::Vec3f& to_sun) {
  const float flat = std::hypot(to_sun[0], to_sun[1]), c = -to_sun[0] / flat, s = -to_sun[1] / flat;
  const cv::Size size = relief.height.size();
  const cv::Size turned(static_cast<int>(size.width * std::abs(c) + size.height * std::abs(s)) + 2,
                        static_cast<int>(size.width * std::abs(s) + size.height * std::abs(c)) + 2);
  const float mx = size.width / 2.f, my = size.height / 2.f, tx = turned.width / 2.f,
              ty = turned.height / 2.f;
  // Light runs along +x in the turned picture.
  const cv::Matx23f into(c, s, tx - c * mx - s * my, -s, c, ty + s * mx - c * my);
  cv::Mat1f ridge;
  cv::warpAffine(relief.height, ridge, into, turned, cv::INTER_LINEAR, cv::BORDER_CONSTANT,
                 cv::Scalar(nothing));
  const float drop = to_sun[2] / flat / static_cast<float>(relief.px_per_mm);
  for (int y = 0; y < ridge.rows; ++y) {
    float horizon = nothing;
    float* row = ridge[y];
    for (int x = 0; x < ridge.cols; ++x) {
      const float here = row[x];
      row[x] = horizon;
      horizon = std::max(horizon, here) - drop;
    }
  }
  cv::Mat1f dark;
  cv::warpAffine(ridge, dark, into, size, cv::INTER_LINEAR | cv::WARP_INVERSE_MAP, cv::BORDER_CONSTANT,
                 cv::Scalar(nothing));
  return dark;
}

cv::Point2d landing_px(const Relief& relief, const cv::Vec3f& at, const cv::Vec3f& to_sun) {
  return relief_px(relief, {at[0] - to_sun[0] / to_sun[2] * at[2], at[1] - to_sun[1] / to_sun[2] * at[2]});
}

cv::Mat1f highest_met(const Relief& relief, const std::vector<Body>& bodies, const cv::Vec3f& to_sun) {
  cv::Mat1f highest(relief.height.size(), nothing);
  for (const Body& body : bodies)
    for (const auto& [i, j, k] : body.triangles) {
      const cv::Vec3f corner[] = {body.vertices[i].at, body.vertices[j].at, body.vertices[k].at};
      const cv::Point2f p[] = {landing_px(relief, corner[0], to_sun), landing_px(relief, corner[1], to_sun),
                               landing_px(relief, corner[2], to_sun)};
      each_pixel(p, highest.size(), [&](int x, int y, float a, float b, float c) {
        highest(y, x) = std::max(highest(y, x), a * corner[0][2] + b * corner[1][2] + c * corner[2][2]);
      });
    }
  return highest;
}

cv::Mat1f passing_light(const Relief& relief, const Light& light, Random random) {
  constexpr int shrink = 3;
  const cv::Size size(relief.height.cols / shrink + 1, relief.height.rows / shrink + 1);
  const double px_per_mm = relief.px_per_mm / shrink;
  cv::Mat1f lit(size, 1.0f);
  if (light.shade == Shade::bars) cast_bars(lit, px_per_mm, random);
  if (light.shade == Shade::leaves) cast_leaves(lit, px_per_mm, random);
  if (light.shade == Shade::person) cast_person(lit, random);
  cv::GaussianBlur(lit, lit, {}, std::max(0.6, random.log_uniform(0.8, 8) * px_per_mm));
  cast_stripes(lit, px_per_mm, relief.origin_mm, light.stripes);
  if (light.blotches > 0) {
    const double grain = random.uniform(80, 300) * px_per_mm;
    const cv::Mat1f uneven = fractal(size, {grain, grain}, 2, 0.5, random);
    for (int y = 0; y < size.height; ++y)
      for (int x = 0; x < size.width; ++x)
        lit(y, x) *= std::exp(static_cast<float>(light.blotches) * uneven(y, x));
  }
  cv::resize(lit, lit, relief.height.size());
  return lit;
}

cv::Mat1f open_sky(const Relief& relief, const std::vector<Body>& bodies) {
  const double px = relief.px_per_mm;
  const cv::Mat1f wide = blurred(relief.height, 11 * px), close = blurred(relief.height, 1.6 * px);
  cv::Mat1f cover(relief.height.size(), 0.0f);
  for (const Body& body : bodies)
    for (const auto& [i, j, k] : body.triangles) {
      const cv::Vec3f corner[] = {body.vertices[i].at, body.vertices[j].at, body.vertices[k].at};
      cv::Point2f p[3];
      for (int n = 0; n < 3; ++n) p[n] = relief_px(relief, {corner[n][0], corner[n][1]});
      each_pixel(p, cover.size(), [&](int x, int y, float, float, float) {
        const float above = std::max(0.f, corner[0][2] - relief.height(y, x));
        cover(y, x) = std::max(cover(y, x), std::exp(-above / 18));
      });
    }
  const cv::Mat1f shaded = blurred(cover, 2.5 * px);
  cv::Mat1f sky(relief.height.size());
  for (int y = 0; y < sky.rows; ++y)
    for (int x = 0; x < sky.cols; ++x) {
      const float deep = std::max(0.f, wide(y, x) - relief.height(y, x)) / 13;
      const float low = std::max(-0.4f, (close(y, x) - relief.height(y, x)) / 1.8f);
      sky(y, x) = std::exp(-deep - 0.5f * low) * (1 - 0.5f * shaded(y, x));
    }
  return sky;
}

}  // namespace braird::painter
