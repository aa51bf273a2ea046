// SPDX-License-Identifier: Apache-2.0
// Nearer looks at what the first one leaves unclear.
#pragma once

#include <optional>

#include "vision/hints.h"
#include "vision/lattice_maps.h"
#include "vision/sight.h"
#include "vision/trace.h"
#include "vision/tray_quad.h"

namespace braird::vision {

/// How much beside a quad a nearer look shows, as a share of the quad's longer side.
constexpr double kBeside = 0.06, kFarBeside = 0.3;

/// A quad's corners.
std::vector<cv::Point2f> outline_in_photo(const TrayQuad& quad, const LatticeMaps& maps);

/// Whether its middle lies in this part of the photo.
bool lies_within(const TrayQuad& quad, const LatticeMaps& maps, const std::vector<cv::Point2f>& outline);

/// The surroundings of an outline in the photo at the photo's own resolution, where that shows more than the
/// maps do.
std::optional<LatticeMaps> closer_look(const cv::Mat& bgr, const LatticeMaps& maps,
                                       const std::vector<cv::Point2f>& outline, double beside,
                                       const Trace& trace);

/// What a nearer look shows of the trays within a quad of the first one.
Sight examine_closer(const LatticeMaps& maps, const LatticeMaps& first, const TrayQuad& first_quad,
                     const Hints& hints);

}  // namespace braird::vision
