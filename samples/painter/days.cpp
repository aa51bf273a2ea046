// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/days.h"

#include "samples/painter/painter.h"
#include "samples/painter/random.h"

namespace braird::painter {

Scene on_day(const Scene& scene, double day, const Course& course) {
  Scene seen = scene;
  const Scene other = any_scene(scene.seed * 10 + static_cast<std::uint64_t>(day), 1600, {0, 1, 1});
  if (course.other_light) seen.light = other.light, seen.finish = other.finish;
  seen.camera.tilt = other.camera.tilt, seen.camera.tilt_towards = other.camera.tilt_towards;
  seen.camera.roll += 0.02 * (day - 7);
  seen.plan = plan_of(scene);
  Sowing& sowing = seen.trays[0].sowing;
  sowing.stage = course.stages_a_day * (day - course.half_up);
  sowing.may_be_hidden = true;
  return seen;
}

std::optional<ComingUp> any_coming_up(std::uint64_t seed, int longer_side_px, Shares shares) {
  shares.seeds = 0;
  ComingUp coming{any_scene(seed, longer_side_px, shares), {}};
  Scene& scene = coming.scene;
  if (scene.trays.empty() || scene.seeds_in_view || scene.trays[0].sowing.germination == 0)
    return std::nullopt;
  Random random(seed * 6271 + 5);
  scene.trays.resize(1);
  Sowing& sowing = scene.trays[0].sowing;
  sowing.stage_spread = random.uniform(0.08, 0.3), sowing.late = random.chance(0.3) ? sowing.late : 0;
  coming.course = {random.uniform(4.8, 8), random.log_uniform(0.13, 0.3), random.chance(0.7)};
  return coming;
}

}  // namespace braird::painter
