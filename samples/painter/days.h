// SPDX-License-Identifier: Apache-2.0
// A tray as it comes up: the same scene on several days after sowing.
#pragma once

#include <optional>

#include "samples/painter/scene.h"

namespace braird::painter {

/// How a tray comes up.
struct Course {
  double half_up = 6;         ///< day on which half of its plants break through
  double stages_a_day = 0.2;  ///< Sowing::stage a day
  bool other_light = true;    ///< light and camera are others each day
};

/// The days on which a course is photographed.
constexpr double kPhotographed[] = {5, 6, 7, 9};

/// The scene on a day, from a little aside of its own camera. Medium, litter and the plants' places stay.
Scene on_day(const Scene& scene, double day, const Course& course);

/// A scene of one tray of which something comes up, as it is on its last day, and its course; nothing for
/// seeds of which no such scene comes. `longer_side_px` as for any_scene.
struct ComingUp {
  Scene scene;
  Course course;
};
std::optional<ComingUp> any_coming_up(std::uint64_t seed, int longer_side_px, Shares shares);

}  // namespace braird::painter
