// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <opencv2/core.hpp>

namespace braird::vision {

/// Finder patterns are the squares at three corners of a QR code: black, white and black, 1:1:3:1:1 across.
/// Readers try all triples of what looks like one, and wire mesh has thousands. Spoils those of a black and
/// white picture that stand in a crowd, as a code's own never do, and more until `most` are left.
void thin_out_finder_patterns(cv::Mat& picture, std::size_t most);

}  // namespace braird::vision
