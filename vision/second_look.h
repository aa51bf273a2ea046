// SPDX-License-Identifier: Apache-2.0
// What a second, more careful look at the whole photo adds to the first.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/hints.h"
#include "vision/photo_senses.h"
#include "vision/sight.h"

namespace braird::vision {

/// What a look at the whole photo shows within an outline, in the photo's pixels.
struct Looked {
  std::vector<cv::Point2f> outline;
  std::vector<Sight> sights;
  bool cut = false;  ///< by the frame
};

/// Whether something but the photo's edge stands in the way of a tray there.
bool is_open(const Looked& looked);

/// All that a look shows.
std::vector<Looked> look_through(const LatticeMaps& maps, const Hints& hints, const PhotoSenses& photo);

/// Whether a first look leaves something to a second: no tray seen, or trouble with one that lies whole in
/// the photo; with nothing told also a lattice that is not quite clear.
bool wants_second_look(const std::vector<Looked>& first, const Hints& hints);

/// Both looks together. Trays that only the second one makes out are added, and with nothing told such that
/// both lead with, neither being sure; what was not quite clear falls where the second leads with something
/// else. What stood in the way of parts of a tray no longer does once the second look makes out the tray, be
/// it another one than stated.
std::vector<Looked> both_looks(std::vector<Looked> first, const std::vector<Looked>& second,
                               const Hints& hints, const PhotoSenses& photo);

}  // namespace braird::vision
