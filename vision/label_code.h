// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>
#include <string>

namespace braird::vision {

/// A text as QR code (ISO/IEC 18004, error correction level M, UTF-8): one 8-bit pixel a module, 0 dark and
/// 255 light, without the quiet zone of four modules that belongs around it. Throws std::invalid_argument if
/// the text is empty or too long for a code.
cv::Mat label_code(const std::string& text);

}  // namespace braird::vision
