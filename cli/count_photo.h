// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "calibration/census.h"
#include "cli/keep_photo.h"
#include "vision/stage_times.h"

namespace braird::cli {

/// What came of one photo: a census, or (`complaint` not empty) one sentence that names the photo and says
/// why not.
struct PhotoResult {
  Census census{};
  std::string complaint{};
  std::vector<vision::StageTime> times{};
  std::string
      unwritten{};  ///< a sentence that names the photo, if a picture of its census couldn't be written
};

/// Counts the photo; its pictures are called `name`. Throws nothing but for want of memory.
PhotoResult count_photo(const std::filesystem::path& path, const std::string& name,
                        const CountArguments& arguments, const Order& order, const Keeper& keeper);

/// One line that names the photo, also where a library's words do not.
std::string sentence_of(const std::filesystem::path& photo, std::string words);

}  // namespace braird::cli
