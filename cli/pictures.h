// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>

#include "vision/trace.h"

namespace braird::cli {

/// Writes FOLDER/NAME-marked.jpg for a photo called NAME.something; the folder is made if it is missing.
void save_marked(const std::filesystem::path& folder, const std::filesystem::path& photo,
                 const cv::Mat& picture);

/// A trace that writes FOLDER/NAME-01-stage.jpg and so on; an empty one if `folder` is empty.
vision::Trace trace_into(const std::filesystem::path& folder, const std::filesystem::path& photo);

}  // namespace braird::cli
