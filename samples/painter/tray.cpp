// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/tray.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "samples/painter/medium.h"
#include "samples/painter/noise.h"

namespace braird::painter {
namespace {

/// Distance to the edge of a rounded rectangle about (0, 0), negative inside.
double rounded_edge(cv::Point2d p, cv::Point2d half, double radius) {
  const double x = std::abs(p.x) - half.x + radius, y = std::abs(p.y) - half.y + radius;
  return std::hypot(std::max(x, 0.0), std::max(y, 0.0)) + std::min(std::max(x, y), 0.0) - radius;
}

struct Spot {
  double height;
  Kind kind;
};

/// One tray's shape without its medium, and how full each cell is.
struct Mould {
  const Tray& tray;
  cv::Point2d half;
  std::vector<double> fill;
};

std::vector<double> fills(const Tray& tray, Random& random) {
  std::vector<double> fill;
  for (int i = 0; i < tray.rows * tray.cols; ++i) {
    double below = tray.fill_mm + random.normal(0, tray.fill_spread_mm);
    const double most = tray.lattice == LatticeKind::square ? 0.6 : 0.15;  // topping levels paper cells out
    if (random.chance(tray.underfilled)) below += random.uniform(0.1, most) * tray.depth_mm;
    fill.push_back(std::clamp(below, -0.5, tray.depth_mm - 2));
  }
  return fill;
}

/// Rim and wall tops between the wells; `edge` is the distance to the well, `out` to the outer edge.
Spot plastic_top(const Tray& tray, cv::Point2d off_cell, double edge, double out) {
  double z = edge < 1.2 ? -0.25 * (1.2 - edge) * (1.2 - edge) : 0;
  const double middle = std::min(std::abs(off_cell.x), std::abs(off_cell.y));
  const bool rim = -out < tray.rim_mm * 0.9;
  if (!rim && tray.notch_mm > 0 && middle < 0.09 * tray.pitch_mm) z -= tray.notch_mm;
  if (rim) z += tray.lip_mm * std::clamp((tray.rim_mm * 0.9 + out) / 3, 0.0, 1.0);
  if (-out < 2) z -= 0.3 * (2 + out) * (2 + out);
  return {z, rim ? rim_kind : wall_kind};
}

Spot square_spot(const Mould& mould, cv::Point2d uv, double out, double crumb) {
  const Tray& tray = mould.tray;
  const int col = std::clamp(cvRound(uv.x), 0, tray.cols - 1),
            row = std::clamp(cvRound(uv.y), 0, tray.rows - 1);
  const cv::Point2d off((uv.x - col) * tray.pitch_mm, (uv.y - row) * tray.row_pitch_mm);
  const double half = tray.opening * tray.pitch_mm / 2;
  const double edge = rounded_edge(off, {half, half}, half * tray.roundness);
  if (edge >= 0) return plastic_top(tray, off, edge, out);
  const double wall = std::max(edge / tray.taper, -tray.depth_mm);
  if (tray.empty_wells) return {wall, wall_kind};
  const double dish = tray.dish_mm * std::max(0.0, 1 - off.dot(off) / (half * half));
  const double medium = -mould.fill[row * tray.cols + col] - dish + crumb;
  return medium > wall ? Spot{medium, medium_kind} : Spot{wall, wall_kind};
}

/// How far the medium has sunk in the paper cell at this place: nothing at its walls.
double sunk(const Mould& mould, cv::Point2d uv) {
  const Tray& tray = mould.tray;
  const int row = std::clamp(cvRound(uv.y), 0, tray.rows - 1);
  const int col = std::clamp(cvRound(uv.x - tray.odd_row_shift * (row % 2)), 0, tray.cols - 1);
  const cv::Point2d off = uv - cell_uv(tray, row, col);
  const double r2 = 4 * off.dot(off);
  return (mould.fill[row * tray.cols + col] - tray.fill_mm + tray.dish_mm) * std::max(0.0, 1 - r2 * r2);
}

Spot paper_spot(const Mould& mould, cv::Point2d uv, double out, double crumb) {
  const Tray& tray = mould.tray;
  const double rim = tray.rim_mm * 0.55, medium = -tray.fill_mm - sunk(mould, uv) + crumb;
  if (tray.rim_mm < 3) return {medium + std::min(0.0, (-out - 3) * 0.8), medium_kind};
  if (-out > rim + tray.fill_mm * 0.3) return {medium, medium_kind};
  const double wall = -out < rim ? tray.lip_mm : tray.lip_mm - (-out - rim) / 0.15;
  const double round = std::min(-out, std::abs(-out - rim));
  if (-out < rim) return {wall - (round < 1 ? 0.4 * (1 - round) : 0), rim_kind};
  return wall > medium ? Spot{wall, rim_kind} : Spot{medium, medium_kind};
}

/// Dust and scratches: plastic never has one colour.
Colour worn(const Tray& tray, double dirt, double dust) {
  const Colour grime = srgb(105, 90, 75);
  const float share = static_cast<float>(std::clamp(tray.wear * (0.25 * dirt - 0.1 + 0.08 * dust), 0.0, 0.7));
  return tray.colour * static_cast<float>(1 + 0.05 * dust * tray.wear) * (1 - share) + grime * share;
}

bool spilt(const Tray& tray, double noise) {
  const double q = std::clamp(tray.medium.spill, 1e-4, 1 - 1e-4);
  return noise > 0.6 * std::log((1 - q) / q);
}

}  // namespace

void lay_tray(Relief& relief, const Tray& tray, Random random) {
  const cv::Rect box = relief_box(relief, bounds(tray, 1));
  if (box.empty()) return;
  const double px = relief.px_per_mm;
  const cv::Point2d origin = relief_mm(relief, box.tl());
  const Relief layer = medium_layer(tray.medium, origin, box.size(), px, random.fork(1));
  const cv::Mat1f dirt = fractal(box.size(), {30 * px, 30 * px}, 5, 0.7, random);
  const cv::Mat1f dust = white(box.size(), CV_32F, random);
  const cv::Mat1f spill = fractal(box.size(), {9 * px, 9 * px}, 4, 0.8, random);
  const Mould mould{tray, half_extent(tray), fills(tray, random)};
  const double c = std::cos(tray.turn), s = std::sin(tray.turn);
  for (int y = 0; y < box.height; ++y)
    for (int x = 0; x < box.width; ++x) {
      const cv::Point at(box.x + x, box.y + y);
      const cv::Point2d world = origin + cv::Point2d(x + 0.5, y + 0.5) * (1 / px), d = world - tray.middle_mm;
      const double out = rounded_edge({d.x * c + d.y * s, d.y * c - d.x * s}, mould.half, tray.corner_mm);
      if (out > 0) continue;
      const double crumb = layer.height(y, x);
      const auto spot_of = tray.lattice == LatticeKind::square ? square_spot : paper_spot;
      Spot spot = spot_of(mould, uv_of(tray, world), out, crumb);
      const bool covered = spot.kind != medium_kind && spot.height > -tray.fill_mm - 1 && !tray.empty_wells &&
                           spilt(tray, spill(y, x) - (spot.kind == rim_kind ? 0.8 : 0));
      if (covered) spot.height += std::max(0.1, 0.6 + crumb);
      relief.height(at) = static_cast<float>(spot.height);
      relief.kind(at) = spot.kind;
      const bool medium = covered || spot.kind == medium_kind;
      relief.albedo(at) = medium ? layer.albedo(y, x) : worn(tray, dirt(y, x), dust(y, x));
      relief.gloss(at) = medium ? layer.gloss(y, x) : static_cast<float>(tray.gloss);
    }
  if (tray.lattice == LatticeKind::staggered) lay_paper(relief, tray, random.fork(2));
}

}  // namespace braird::painter
