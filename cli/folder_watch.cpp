// SPDX-License-Identifier: Apache-2.0
#include "cli/folder_watch.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <stdexcept>
#include <string>

#include "vision/photo.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;

bool can_be_read(const fs::path& photo) {
  try {
    vision::load_photo(photo);
    return true;
  } catch (const std::exception&) {
    return false;
  }
}

/// Notes size and time; true if the file is due for a look inside.
bool is_due(FolderWatch& watch, const fs::path& file, Clock::time_point now) {
  std::error_code gone;
  const auto bytes = fs::file_size(file, gone);
  const auto changed = fs::last_write_time(file, gone);
  if (gone) return false;
  const auto [at, fresh] = watch.files.try_emplace(file);
  WatchedFile& known = at->second;
  if (fresh || known.bytes != bytes || known.changed != changed) known = {bytes, changed, now, false};
  return !known.looked_at && bytes > 0 && now - known.same_since >= watch.still;
}

}  // namespace

bool named_like_photo(const fs::path& file) {
  constexpr std::array<const char*, 8> endings = {".jpg", ".jpeg", ".png",  ".webp",
                                                  ".tif", ".tiff", ".heic", ".heif"};
  std::string ending = file.extension().string();
  std::ranges::transform(ending, ending.begin(), [](unsigned char letter) { return std::tolower(letter); });
  return !file.filename().string().starts_with('.') && std::ranges::find(endings, ending) != endings.end();
}

std::vector<fs::path> photos_to_count(FolderWatch& watch, Clock::time_point now) {
  std::error_code trouble;
  std::vector<fs::path> photos;
  for (auto entry = fs::directory_iterator(watch.folder, trouble);
       !trouble && entry != fs::directory_iterator(); entry.increment(trouble)) {
    std::error_code gone;
    if (!entry->is_regular_file(gone) || !named_like_photo(entry->path())) continue;
    if (!is_due(watch, entry->path(), now)) continue;
    WatchedFile& file = watch.files[entry->path()];
    const bool given_up = now - file.same_since >= watch.patience;  // whoever counts it says what is wrong
    file.looked_at = given_up || can_be_read(entry->path());
    if (file.looked_at) photos.push_back(entry->path());
  }
  if (trouble)
    throw std::runtime_error(watch.folder.string() + ": is no folder that can be read; check its name");
  std::ranges::sort(photos);
  return photos;
}

}  // namespace braird::cli
