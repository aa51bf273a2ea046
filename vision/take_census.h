// SPDX-License-Identifier: Apache-2.0
// The door of vision: photo in, census out.
#pragma once

#include <functional>
#include <string>
#include <vector>

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
      false;  ///< nothing was counted: the scale this photo was read at shows the cells too small or unclear
  std::vector<StageTime> times{};
};

/// Reads the labels of the trays in a photo, on a thread of its own.
using LabelReader = std::function<std::vector<SeenLabel>()>;

/// Places in `hints` and census are in the photo's own pixels, at whatever scale it was read. `read_labels`,
/// if given, fills in `hints.labels` while the network looks at the photo.
Reading take_census(const Photo& photo, const Hints& hints, const Trace& trace = {},
                    const LabelReader& read_labels = {});

}  // namespace braird::vision
