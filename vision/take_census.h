// SPDX-License-Identifier: Apache-2.0
// The door of vision: photo in, census out.
#pragma once

#include <string>

#include "calibration/census.h"
#include "vision/hints.h"
#include "vision/photo.h"
#include "vision/trace.h"

namespace braird::vision {

/// A census, or (`refusal` not empty) why this photo could not be counted and what to do about it.
struct Reading {
  Census census;
  std::string refusal;
  bool wants_detail =
      false;  ///< nothing was counted: the cells are too small at the scale this photo was read at
  std::vector<StageTime> times{};
};

/// Places in `hints` and census are in the photo's own pixels, at whatever scale it was read.
Reading take_census(const Photo& photo, const Hints& hints, const Trace& trace = {});

}  // namespace braird::vision
