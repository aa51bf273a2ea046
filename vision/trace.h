// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <opencv2/core.hpp>
#include <string>

namespace braird::vision {

/// Receives the picture of each stage, 8-bit grey or BGR; may be empty. Stages never open files themselves.
using Trace = std::function<void(const std::string& stage, const cv::Mat& picture)>;

}  // namespace braird::vision
