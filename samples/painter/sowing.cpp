// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/sowing.h"

#include <algorithm>

#include "samples/painter/noise.h"
#include "samples/painter/seedling.h"
#include "samples/painter/tray.h"

namespace braird::painter {
namespace {

/// How well the places of a tray suit a seed: smooth, mean 0.
struct Site {
  cv::Mat1f germination, stage;
};

double chance_at(const Tray& tray, const Site& site, int row, int col) {
  const double p = std::clamp(tray.sowing.germination, 0.001, 0.999);
  const double logit = std::log(p / (1 - p)) + tray.sowing.clumping * site.germination(row, col);
  return 1 / (1 + std::exp(-logit));
}

int seeds_dropped(const Sowing& sowing, Random& random) {
  if (sowing.bare || random.chance(sowing.skipped)) return 0;
  int seeds = sowing.seeds_per_cell;
  if (random.chance(sowing.seeds_spread)) seeds += random.sign();
  if (sowing.pinch > 0) seeds += cvRound(random.normal(0, sowing.pinch * seeds));
  return std::max(sowing.seeds_per_cell > 1 ? 0 : 1, seeds);
}

/// A place in the cell that lies on medium, not on a wall.
cv::Point2d place_for(const Tray& tray, const Relief& relief, cv::Point2d drop, Random& random) {
  for (int attempt = 0; attempt < 12; ++attempt) {
    const double narrow = tray.sowing.scatter * (attempt < 6 ? 1 : 0.4);
    const cv::Point2d uv = drop + cv::Point2d(random.normal(0, narrow), random.normal(0, narrow));
    const cv::Point2d off = uv - drop;
    if (std::max(std::abs(off.x), std::abs(off.y)) > 0.36) continue;
    const cv::Point2d at = place_of(tray, uv), px = relief_px(relief, at);
    const cv::Point spot(cvFloor(px.x), cvFloor(px.y));
    if (!cv::Rect(cv::Point(), relief.kind.size()).contains(spot)) return at;
    if (relief.kind(spot) == medium_kind) return at;
  }
  return place_of(tray, drop);
}

Growth growth_at(const Tray& tray, const Relief& relief, cv::Point2d at, double stage, Random& random) {
  const Sowing& sowing = tray.sowing;
  Growth growth;
  growth.foot = {static_cast<float>(at.x), static_cast<float>(at.y),
                 static_cast<float>(height_at(relief, at) - 0.2)};
  growth.stage = stage + random.normal(0, sowing.stage_spread);
  growth.hidden = sowing.may_be_hidden && growth.stage < 0;
  growth.stage = std::max(0.03, growth.stage);
  if (random.chance(sowing.late)) growth.stage = std::max(0.03, growth.stage * random.uniform(0.05, 0.85));
  growth.vigour = std::exp(random.normal(0, 0.14));
  const double own = std::abs(random.normal(0, sowing.lean)), turn = random.angle();
  const cv::Point2d lean =
      cv::Point2d(std::cos(turn), std::sin(turn)) * own +
      cv::Point2d(std::cos(sowing.light_angle), std::sin(sowing.light_angle)) * sowing.lean_to_light;
  growth.lean = std::min(1.25, std::hypot(lean.x, lean.y));
  growth.lean_angle = std::atan2(lean.y, lean.x);
  return growth;
}

void germinate(const Scene& scene, const Tray& tray, const Relief& relief, cv::Point2d at, double stage,
               SownCell& cell, std::vector<Body>& bodies, Random& random) {
  int plants = 1;
  while (plants < scene.crop.plants_per_seed && random.chance(scene.crop.one_more)) ++plants;
  for (int plant = 0; plant < plants; ++plant) {
    const cv::Point2d aside =
        plant == 0 ? cv::Point2d() : cv::Point2d(random.normal(0, 1.3), random.normal(0, 1.3));
    const Random own = random.fork(plant);  // before the growth is drawn, so that scenes stay what they were
    const Growth growth = growth_at(tray, relief, at + aside, stage, random);
    if (growth.hidden) continue;
    Body body = grow_seedling(scene.crop, growth, own);
    body.id = static_cast<int>(bodies.size()) + 1;
    cell.bodies.push_back(static_cast<int>(bodies.size()));
    bodies.push_back(std::move(body));
  }
}

/// Seeds lie beside each other, not in one another; where they touch, often against the one before.
cv::Point2d beside(const SeedsInView& seeds, const SownCell& cell, cv::Point2d at, Random& random) {
  Random own = random.fork(1);  // so that scenes stay what they were
  const double width = seeds.length_mm * (1 + seeds.slenderness) / 2 * random.uniform(0.85, 1.1);
  if (!cell.seeds_in_view.empty() && own.chance(seeds.touching)) {
    const cv::Vec3d& before = cell.seeds_in_view.back();
    const double turn = own.angle();
    at = cv::Point2d(before[0], before[1]) + cv::Point2d(std::cos(turn), std::sin(turn)) * width;
  }
  for (const cv::Vec3d& other : cell.seeds_in_view) {
    const cv::Point2d off = at - cv::Point2d(other[0], other[1]);
    const double apart = std::hypot(off.x, off.y), turn = random.angle();
    if (apart < width)
      at += (apart > 0.01 ? off / apart : cv::Point2d(std::cos(turn), std::sin(turn))) * (width - apart);
  }
  return at;
}

void lay_seed(const SeedsInView& seeds, cv::Point2d at, Relief& relief, SownCell& cell, Random& random) {
  const double half = seeds.length_mm / 2 * random.uniform(0.88, 1.12), floor = height_at(relief, at);
  Grain seed{at, half, half * seeds.slenderness * random.uniform(0.9, 1.1)};
  seed.angle = random.angle();
  seed.base = floor - 0.25 * half * seeds.slenderness;
  seed.high_mm = 1.1 * half * seeds.slenderness;
  seed.colour = seeds.colour * std::exp(random.normal(0, 0.12));
  seed.gloss = seeds.gloss, seed.mottle = 0.06;
  lay_grain(relief, seed, random);
  cell.seeds_in_view.emplace_back(at.x, at.y, seed.base + seed.high_mm);
}

/// The dent that a dibber leaves.
void press(Relief& relief, cv::Point2d at, double radius, double depth) {
  const cv::Rect box = relief_box(relief, {at.x - radius, at.y - radius, 2 * radius, 2 * radius});
  for (int y = box.y; y < box.br().y; ++y)
    for (int x = box.x; x < box.br().x; ++x) {
      const cv::Point2d d = relief_mm(relief, {x + 0.5, y + 0.5}) - at;
      const double q = d.dot(d) / (radius * radius);
      if (q < 1 && relief.kind(y, x) == medium_kind)
        relief.height(y, x) -= static_cast<float>(depth * (1 - q));
    }
}

}  // namespace

std::vector<SownCell> sow(const Scene& scene, const Tray& tray, Relief& relief, std::vector<Body>& bodies,
                          Random random) {
  const cv::Size grid(tray.cols, tray.rows);
  const Site site{hills(grid, {3, 3}, random), hills(grid, {5, 5}, random)};
  std::vector<SownCell> cells;
  for (int row = 0; row < tray.rows; ++row)
    for (int col = 0; col < tray.cols; ++col) {
      SownCell cell{row, col, seeds_dropped(tray.sowing, random), {}, {}};
      const double spread = tray.sowing.scatter * 0.5;
      const cv::Point2d middle = cell_uv(tray, row, col);
      const cv::Point2d drop = middle + cv::Point2d(random.normal(0, spread), random.normal(0, spread)) * 0.6;
      const double p = chance_at(tray, site, row, col);
      const double stage = tray.sowing.stage + 0.6 * tray.sowing.stage_spread * site.stage(row, col);
      if (scene.seeds_in_view && scene.seeds_in_view->dibble_mm > 0)
        press(relief, place_of(tray, middle), 0.22 * tray.pitch_mm, scene.seeds_in_view->dibble_mm);
      for (int seed = 0; seed < cell.seeds; ++seed) {
        const cv::Point2d at = place_for(tray, relief, drop, random);
        const bool lies = scene.seeds_in_view && !scene.seeds_in_view->failed_only;
        if (!lies && random.chance(p))
          germinate(scene, tray, relief, at, stage, cell, bodies, random);
        else if (scene.seeds_in_view)
          lay_seed(*scene.seeds_in_view, beside(*scene.seeds_in_view, cell, at, random), relief, cell,
                   random);
      }
      cells.push_back(std::move(cell));
    }
  return cells;
}

void grow_weeds(const Scene& scene, const Tray& tray, const Relief& relief, std::vector<Body>& bodies,
                Random random) {
  Crop weed = scene.crop;
  weed.habit = random.chance(0.5) ? Habit::round_pair : Habit::strap_pair;
  weed.cotyledon_mm = random.uniform(2, 8), weed.stem_mm = random.uniform(3, 12), weed.plants_per_seed = 1;
  const cv::Rect2d around = bounds(tray, 60);
  for (int weeds = tray.sowing.weeds, attempt = 0; weeds > 0 && attempt < 400; ++attempt) {
    const cv::Point2d at(random.uniform(around.x, around.br().x), random.uniform(around.y, around.br().y));
    const cv::Point2d uv = uv_of(tray, at), middle = cell_uv(tray, std::max(0, cvRound(uv.y)), 0);
    const bool inside =
        uv.x > -0.6 && uv.y > -0.6 && uv.x < tray.cols + 0.1 + middle.x - 0.5 && uv.y < tray.rows - 0.4;
    if (inside) continue;
    const Growth growth = growth_at(tray, relief, at, random.uniform(0.5, 1.6), random);
    bodies.push_back(grow_seedling(random.chance(0.5) ? weed : scene.crop, growth, random.fork(attempt)));
    --weeds;
  }
}

}  // namespace braird::painter
