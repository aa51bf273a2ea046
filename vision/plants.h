// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

namespace braird::vision {

/// The picture with each channel over its mean (that of the picture of which it is a part), less 1, within -1
/// … 3: 32-bit float, 3 channels. Coloured light and the medium's own colour cancel out.
cv::Mat balanced(const cv::Mat& bgr, const cv::Scalar& mean);

/// Excess green 2g - r - b of balanced chromaticities (after Woebbecke et al. 1995), 32-bit float; the medium
/// lies at 0.
cv::Mat excess_green(const cv::Mat& bgr);
/// The same with the means of what it is a part of.
cv::Mat excess_green(const cv::Mat& bgr, const cv::Scalar& mean);

/// Pixels that stand out green from everything else in the tray: 8-bit, 0 or 255.
cv::Mat plant_mask(const cv::Mat& bgr);

}  // namespace braird::vision
