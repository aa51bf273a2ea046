// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/relief.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace braird::painter {

Relief blank_relief(cv::Rect2d world_mm, double px_per_mm, double height) {
  const cv::Size size(static_cast<int>(world_mm.width * px_per_mm),
                      static_cast<int>(world_mm.height * px_per_mm));
  return {world_mm.tl(),
          px_per_mm,
          cv::Mat1f(size, static_cast<float>(height)),
          cv::Mat3f(size, Colour(0.2f, 0.2f, 0.2f)),
          cv::Mat1f(size, 0.0f),
          cv::Mat1b(size, ground_kind)};
}

double height_at(const Relief& relief, cv::Point2d mm) {
  const cv::Point2d px = relief_px(relief, mm);
  const int x = cvFloor(px.x), y = cvFloor(px.y);
  if (x < 0 || y < 0 || x >= relief.height.cols || y >= relief.height.rows) return 0;
  return relief.height(y, x);
}

cv::Rect relief_box(const Relief& relief, cv::Rect2d mm) {
  const cv::Point2d from = relief_px(relief, mm.tl()), to = relief_px(relief, mm.br());
  const cv::Rect box(cv::Point(cvFloor(from.x), cvFloor(from.y)),
                     cv::Point(cvCeil(to.x) + 1, cvCeil(to.y) + 1));
  return box & cv::Rect(cv::Point(), relief.height.size());
}

namespace {

cv::Rect2d around(cv::Point2d at, double reach) {
  return {at.x - reach, at.y - reach, 2 * reach, 2 * reach};
}

void blend(Relief& relief, cv::Point p, double z, const Colour& colour, float cover) {
  float& height = relief.height(p);
  if (z <= height) return;
  height += cover * static_cast<float>(z - height);
  relief.albedo(p) += cover * (colour - relief.albedo(p));
}

}  // namespace

void lay_grain(Relief& relief, const Grain& grain, Random& random) {
  const cv::Rect box = relief_box(relief, around(grain.at, std::max(grain.long_mm, grain.wide_mm) + 0.5));
  const double c = std::cos(grain.angle), s = std::sin(grain.angle);
  const double edge_px = std::min(grain.long_mm, grain.wide_mm) * relief.px_per_mm;
  const double tint = random.normal(0, grain.mottle), dapple = random.uniform(0.5, 2), phase = random.angle();
  for (int y = box.y; y < box.br().y; ++y) {
    for (int x = box.x; x < box.br().x; ++x) {
      const cv::Point2d d = relief_mm(relief, {x + 0.5, y + 0.5}) - grain.at;
      const double u = (d.x * c + d.y * s) / grain.long_mm, v = (d.y * c - d.x * s) / grain.wide_mm;
      const double r2 = u * u + v * v;
      const double cover = std::clamp((1 - std::sqrt(r2)) * edge_px + 0.5, 0.0, 1.0);
      if (cover <= 0) continue;
      const double rest = std::max(0.0, 1 - (grain.flatness == 2 ? r2 : std::pow(r2, grain.flatness / 2)));
      const double z = grain.base + grain.high_mm * std::sqrt(rest);
      const double shade =
          1 + tint + (grain.mottle > 0 ? grain.mottle * std::sin(dapple * 4 * u + 3 * v + phase) : 0);
      if (z > relief.height(y, x)) {
        relief.gloss(y, x) = static_cast<float>(grain.gloss);
      }
      blend(relief, {x, y}, z, grain.colour * std::max(0.2, shade), static_cast<float>(cover));
    }
  }
}

void lay_stroke(Relief& relief, const Stroke& stroke) {
  const cv::Point2d along = stroke.to - stroke.from;
  const double length2 = std::max(1e-9, along.dot(along)), reach = stroke.half_width_mm + 0.6;
  const cv::Rect2d span(
      cv::Point2d(std::min(stroke.from.x, stroke.to.x) - reach, std::min(stroke.from.y, stroke.to.y) - reach),
      cv::Point2d(std::max(stroke.from.x, stroke.to.x) + reach,
                  std::max(stroke.from.y, stroke.to.y) + reach));
  const cv::Rect box = relief_box(relief, span);
  for (int y = box.y; y < box.br().y; ++y) {
    for (int x = box.x; x < box.br().x; ++x) {
      const cv::Point2d d = relief_mm(relief, {x + 0.5, y + 0.5}) - stroke.from;
      const double t = std::clamp(d.dot(along) / length2, 0.0, 1.0);
      const cv::Point2d off = d - along * t;
      const double away = std::sqrt(off.dot(off));
      const double cover = std::clamp((stroke.half_width_mm - away) * relief.px_per_mm + 0.5, 0.0, 1.0);
      if (cover <= 0) continue;
      const double q = std::min(1.0, away / stroke.half_width_mm);
      const double z = stroke.from_height + t * (stroke.to_height - stroke.from_height) -
                       stroke.round * stroke.half_width_mm * (1 - std::sqrt(1 - q * q));
      if (z <= relief.height(y, x)) continue;
      if (cover > 0.4) relief.kind(y, x) = stroke.kind;
      relief.gloss(y, x) = static_cast<float>(stroke.gloss);
      blend(relief, {x, y}, z, stroke.colour, static_cast<float>(cover));
    }
  }
}

void lay_sheet(Relief& relief, const std::vector<cv::Point2d>& corners_mm, double height, Colour colour,
               double gloss) {
  std::vector<cv::Point> corners;
  constexpr int shift = 4;
  for (const cv::Point2d& corner : corners_mm) {
    const cv::Point2d px = relief_px(relief, corner) * (1 << shift);
    corners.emplace_back(cvRound(px.x), cvRound(px.y));
  }
  cv::Mat1b cover(relief.height.size(), 0);
  cv::fillPoly(cover, std::vector{corners}, 255, cv::LINE_AA, shift);
  cv::Rect box = cv::boundingRect(cover);
  for (int y = box.y; y < box.br().y; ++y)
    for (int x = box.x; x < box.br().x; ++x) {
      if (cover(y, x) == 0 || height < relief.height(y, x)) continue;
      if (cover(y, x) > 127) relief.kind(y, x) = clutter_kind, relief.gloss(y, x) = static_cast<float>(gloss);
      blend(relief, {x, y}, height, colour, cover(y, x) / 255.0f);
    }
}

}  // namespace braird::painter
