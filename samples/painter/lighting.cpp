// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/lighting.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "samples/painter/shadows.h"

namespace braird::painter {
namespace {

struct Illumination {
  cv::Vec3f to_sun;
  bool sunny = false;
  cv::Mat1f dark, met, passing, sky;
};

float read(const cv::Mat1f& map, cv::Point2d px, float outside) {
  const int x = cvFloor(px.x), y = cvFloor(px.y);
  return x < 0 || y < 0 || x >= map.cols || y >= map.rows ? outside : map(y, x);
}

bool in_sun(const Relief& relief, const Illumination& lit, const cv::Vec3f& at, float slack) {
  if (read(lit.dark, relief_px(relief, {at[0], at[1]}), -1e3f) > at[2] + 0.25f) return false;
  return read(lit.met, landing_px(relief, at, lit.to_sun), -1e3f) < at[2] + slack;
}

cv::Mat1f sun_map(const Relief& relief, const Illumination& lit, double softness_mm) {
  cv::Mat1f sun(relief.height.size());
  const double gx = lit.to_sun[0] / lit.to_sun[2] * relief.px_per_mm,
               gy = lit.to_sun[1] / lit.to_sun[2] * relief.px_per_mm;
  for (int y = 0; y < sun.rows; ++y)
    for (int x = 0; x < sun.cols; ++x) {
      const float z = relief.height(y, x);
      const bool dark = lit.dark(y, x) > z + 0.25f;
      sun(y, x) = dark || read(lit.met, {x + 0.5 - gx * z, y + 0.5 - gy * z}, -1e3f) > z + 0.5f ? 0.f : 1.f;
    }
  cv::GaussianBlur(sun, sun, {}, std::max(0.5, softness_mm * relief.px_per_mm));
  return sun;
}

void light_vertex(const Relief& relief, const Body& body, Vertex& vertex, const Illumination& lit,
                  const Light& light, const Camera& camera) {
  const cv::Vec3f view = cv::normalize(cv::Vec3f(camera.at) - vertex.at);
  const cv::Vec3f normal = vertex.normal.dot(view) < 0 ? -vertex.normal : vertex.normal;
  const cv::Point2d px = relief_px(relief, {vertex.at[0], vertex.at[1]});
  const float above = vertex.at[2] - read(relief.height, px, 0);
  const float passing = read(lit.passing, px, 1);
  const float open = std::clamp(0.5f + above / 25, 0.5f, 1.f) * (0.7f + 0.3f * normal[2]);
  Colour sum = light.sky * (open * (light.sun == Colour() ? passing : 0.6f + 0.4f * passing));
  float shine = 0;
  if (lit.sunny && in_sun(relief, lit, vertex.at, 1.2f)) {
    const float face = normal.dot(lit.to_sun);
    sum += light.sun * (passing * (face > 0 ? face : -face * body.translucency * 1.6f));
    shine = passing * std::pow(std::max(0.f, normal.dot(cv::normalize(view + lit.to_sun))), 25.f) *
            body.gloss * 0.5f;
  }
  const float glaze = body.gloss * 0.05f * normal[2];
  vertex.seen = vertex.albedo.mul(sum) + light.sun * shine + light.sky * glaze;
}

cv::Vec3f slope_normal(const cv::Mat1f& height, int y, int x, float px_per_mm) {
  const int l = std::max(0, x - 1), r = std::min(height.cols - 1, x + 1);
  const int t = std::max(0, y - 1), b = std::min(height.rows - 1, y + 1);
  const float dx = std::clamp((height(y, r) - height(y, l)) * px_per_mm / 2, -4.f, 4.f);
  const float dy = std::clamp((height(b, x) - height(t, x)) * px_per_mm / 2, -4.f, 4.f);
  return cv::Vec3f(-dx, -dy, 1) * (1 / std::sqrt(dx * dx + dy * dy + 1));
}

float highlight(const cv::Vec3f& normal, const cv::Vec3f& half, float gloss) {
  const float facing = std::max(0.f, normal.dot(half));
  const float tight = facing * facing * facing * facing;
  const float f8 = tight * tight, f32 = f8 * f8 * f8 * f8;
  return gloss * (0.12f * f8 + 0.8f * f32);
}

}  // namespace

cv::Mat3f light_up(const Relief& relief, std::vector<Body>& bodies, const Light& light, const Camera& camera,
                   Random random) {
  Illumination lit;
  lit.to_sun = towards_sun(light);
  lit.sunny = light.sun != Colour();
  lit.passing = passing_light(relief, light, random.fork(1));
  lit.sky = open_sky(relief, bodies);
  cv::Mat1f sun;
  if (lit.sunny) {
    lit.dark = dark_below(relief, lit.to_sun);
    lit.met = highest_met(relief, bodies, lit.to_sun);
    sun = sun_map(relief, lit, light.softness_mm);
  }
  for (Body& body : bodies)
    for (Vertex& vertex : body.vertices) light_vertex(relief, body, vertex, lit, light, camera);

  cv::Mat3f seen(relief.height.size());
  const float px = static_cast<float>(relief.px_per_mm);
  for (int y = 0; y < seen.rows; ++y)
    for (int x = 0; x < seen.cols; ++x) {
      const cv::Vec3f normal = slope_normal(relief.height, y, x, px);
      const float passing = lit.passing(y, x), gloss = relief.gloss(y, x);
      const float ambient =
          lit.sky(y, x) * (0.5f + 0.5f * normal[2]) * (lit.sunny ? 0.6f + 0.4f * passing : passing);
      Colour sum = light.sky * ambient, shine(0, 0, 0);
      const float direct = lit.sunny ? sun(y, x) * passing : 0;
      if (direct > 0) sum += light.sun * (direct * std::max(0.f, normal.dot(lit.to_sun)));
      if (gloss > 0.01f) {
        const cv::Point2d mm = relief_mm(relief, {x + 0.5, y + 0.5});
        const cv::Vec3f view =
            cv::normalize(cv::Vec3f(camera.at) - cv::Vec3f(cv::Vec3d(mm.x, mm.y, relief.height(y, x))));
        shine = light.sky * (gloss * 0.06f * ambient * (0.3f + normal[2]));
        if (direct > 0)
          shine += light.sun * (direct * highlight(normal, cv::normalize(view + lit.to_sun), gloss) * 0.5f);
      }
      seen(y, x) = relief.albedo(y, x).mul(sum) + shine;
    }
  return seen;
}

}  // namespace braird::painter
