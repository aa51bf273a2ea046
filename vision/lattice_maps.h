// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "vision/geometry.h"
#include "vision/trace.h"

namespace braird::vision {

/// What each place of a photo, or of a part of it, looks like, 0..1, 32-bit float, all of one size.
struct LatticeMaps {
  cv::Mat region;     ///< inside the hull of a tray's cells, by `kRegionInset`
  cv::Mat core;       ///< inside the hull by a whole pitch, so that the cores of butted trays stay wide apart
  cv::Mat centres;    ///< a blob of about a fifth of a pitch at each cell's centre
  cv::Mat staggered;  ///< inside a region: its rows are shifted in turn
  cv::Rect frame;     ///< where the photo shows something: plain bars that pad its sides are left out
  std::string fault;  ///< why little can be made out in this photo, with the remedy; empty: nothing amiss
  double map_from_photo = 1;     ///< map pixels a photo pixel
  cv::Point2d origin;            ///< the photo's pixel at the upper left of the part looked at
  Lens lens;                     ///< a straight one over the whole photo, map pixels
  std::vector<cv::Mat> smaller;  ///< the photo at the sizes by way of which they were read, largest first
};

/// A straight lens over a picture of this size.
Lens straight_lens(cv::Size size);

/// A place of the maps in the photo's pixels, and back.
cv::Point2d in_photo(cv::Point2d place, const LatticeMaps& maps);
cv::Point2d on_maps(cv::Point2d photo_place, const LatticeMaps& maps);
/// The frame in the photo, of this size, that the maps show as a whole.
cv::Rect frame_in_photo(const LatticeMaps& maps, cv::Size photo);
/// A lattice on the maps in the photo's pixels, and back.
Lattice in_photo(const Lattice& lattice, const LatticeMaps& maps);
Lattice on_maps(const Lattice& photo_lattice, const LatticeMaps& maps);

/// The learned witness of where cells are. `bgr`: the photo, 8-bit; it is looked at with its long side at 640
/// px.
LatticeMaps read_lattice_maps(const cv::Mat& bgr, const Trace& trace = {});

/// Map pixels a photo pixel that a nearer look at so large a part of it has.
double map_scale_closer(cv::Size part);

/// The same of a part of the photo, nearer and by a larger network: with its long side at up to 1024 px, but
/// never enlarged.
LatticeMaps look_closer(const cv::Mat& bgr, const cv::Rect& part, const Trace& trace = {});

/// Such a look at the whole photo, plain bars left out of its frame as they are at the first.
LatticeMaps look_again(const cv::Mat& bgr, const LatticeMaps& first, const Trace& trace = {});

}  // namespace braird::vision
