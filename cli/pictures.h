// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "vision/trace.h"

namespace braird::cli {

/// What pictures made of these photos are called: each photo's name without its ending, and with "-2" and so
/// on where photos of several folders share it.
std::vector<std::string> picture_names(const std::vector<std::filesystem::path>& photos);

/// Writes FOLDER/NAME-marked.jpg; the folder is made if it is missing.
void save_marked(const std::filesystem::path& folder, const std::string& name, const cv::Mat& picture);

/// A trace that writes FOLDER/NAME-01-stage.jpg and so on; an empty one if `folder` is empty.
vision::Trace trace_into(const std::filesystem::path& folder, const std::string& name);

}  // namespace braird::cli
