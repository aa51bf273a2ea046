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

/// Throws std::runtime_error with one sentence if the folder can neither be written to nor made; makes none.
void require_folder(const std::filesystem::path& folder);

/// Writes FOLDER/NAME-marked.jpg, and makes the folder. Throws as `write_picture` does.
void save_marked(const std::filesystem::path& folder, const std::string& name, const cv::Mat& picture);

/// A trace that writes FOLDER/NAME-01-stage.jpg and so on, an empty one if `folder` is empty. Why a
/// picture can't be written goes into `trouble`, to which the trace holds on.
vision::Trace trace_into(const std::filesystem::path& folder, const std::string& name, std::string& trouble);

}  // namespace braird::cli
