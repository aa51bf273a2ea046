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

/// Throws std::runtime_error with one sentence if that file is one of the photos.
void refuse_photos(const std::filesystem::path& file, const std::vector<std::filesystem::path>& photos);

/// Writes FOLDER/NAME-marked.jpg, and makes the folder, but not over one of the photos: then, or if it can't
/// be written, it throws std::runtime_error with one sentence.
void save_marked(const std::filesystem::path& folder, const std::string& name, const cv::Mat& picture,
                 const std::vector<std::filesystem::path>& photos);

/// A trace that writes FOLDER/NAME-01-stage.jpg and so on, but not over one of the photos; an empty one if
/// `folder` is empty. Why a picture can't be written goes into `trouble`. Holds on to `photos` and `trouble`.
vision::Trace trace_into(const std::filesystem::path& folder, const std::string& name,
                         const std::vector<std::filesystem::path>& photos, std::string& trouble);

}  // namespace braird::cli
