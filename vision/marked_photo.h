// SPDX-License-Identifier: Apache-2.0
// What braird saw, to check by eye. Marks stand on the rim of the cells, so that the plants stay in view:
//
//    gap: a diamond       one: a bar below      several: bars either side      to look at: a flag
//       .  ^  .              .     .              |     |                           .    <|
//       <     >                 o                 |  o  |
//       .  v  .              .=====.              |     |
//
// Each state has its own colour too, from the set of Okabe & Ito (2008), which people with any common colour
// blindness can tell apart. The count stands in the lower right corner, numbers of rows and columns (from 1)
// along two edges. In a census of seeds, cells that lack some have the diamond, and the number of their turn
// in the walk that mends them. Of several trays each has its name at its rim.
#pragma once

#include <opencv2/core.hpp>

#include "calibration/census.h"

namespace braird::vision {

/// The photo with the trays' marks drawn on it and a strip below, a line a tray, that explains them. `bgr`:
/// 8-bit, 3 channels.
cv::Mat marked_photo(const cv::Mat& bgr, const Census& census);

}  // namespace braird::vision
