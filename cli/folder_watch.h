// SPDX-License-Identifier: Apache-2.0
// Which photos in a folder are new and complete? Looked at again and again: what a phone's sync is still
// writing grows from look to look, or can't be decoded yet.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <map>
#include <vector>

namespace braird::cli {

using Clock = std::chrono::steady_clock;

struct WatchedFile {
  std::uintmax_t bytes = 0;
  std::filesystem::file_time_type changed{};
  Clock::time_point same_since{};  ///< neither size nor time has changed since
  bool looked_at = false;          ///< handed out; again only once it changes
};

struct FolderWatch {
  std::filesystem::path folder;
  std::chrono::milliseconds still{1500};      ///< so long unchanged, a photo may be complete
  std::chrono::milliseconds patience{60000};  ///< so long unchanged, one that can't be read is given up
  std::map<std::filesystem::path, WatchedFile> files{};
};

/// Is this a photo by its name? Hidden files and those that a transfer has not yet given their names are not.
bool named_like_photo(const std::filesystem::path& file);

/// Looks at the folder at the time `now`: the photos to count, by name. Throws std::runtime_error with one
/// sentence if the folder can't be read.
std::vector<std::filesystem::path> photos_to_count(FolderWatch& watch, Clock::time_point now);

}  // namespace braird::cli
