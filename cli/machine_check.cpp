// SPDX-License-Identifier: Apache-2.0
#include "cli/machine_check.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <stdexcept>
#include <string_view>

#include "calibration/ledger/ledger.h"
#include "cli/ledger_place.h"
#include "vision/codecs/codec.h"
#include "vision/models.h"
#include "vision/take_census.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;
using namespace std::string_view_literals;

// A photo of 48 megapixels took 266 MB; tests/cli/doctor_test.cpp holds this limit above what it takes.
constexpr std::uint64_t kEnoughBytes = 500'000'000;

bool reads(std::string_view first_bytes) {
  return vision::codec_for({reinterpret_cast<const unsigned char*>(first_bytes.data()), first_bytes.size()});
}

bool writable(const fs::path& path) {
  return ::access(path.c_str(), W_OK) == 0;
}

/// The nearest folder above `place` that exists.
fs::path standing_folder(const fs::path& place) {
  fs::path folder = fs::absolute(place).parent_path();
  std::error_code none;
  while (!fs::exists(folder, none) && folder.has_relative_path()) folder = folder.parent_path();
  return folder;
}

std::uint64_t available_bytes() {
  std::ifstream file("/proc/meminfo");
  for (std::string word; file >> word;)
    if (std::uint64_t kib = 0; word == "MemAvailable:" && file >> kib) return kib * 1024;
  return static_cast<std::uint64_t>(sysconf(_SC_AVPHYS_PAGES)) *
         static_cast<std::uint64_t>(sysconf(_SC_PAGESIZE));
}

std::vector<fs::path> font_folders() {
  std::vector<fs::path> folders = {"/usr/share/fonts", "/usr/local/share/fonts"};
  if (const char* home = std::getenv("HOME")) {
    folders.push_back(fs::path(home) / ".fonts");
    folders.push_back(fs::path(home) / ".local/share/fonts");
  }
  return folders;
}

bool is_font(const fs::path& file) {
  static constexpr std::string_view kinds[] = {".ttf", ".otf", ".ttc", ".pfb", ".woff", ".woff2"};
  return std::ranges::find(kinds, file.extension().string()) != std::end(kinds);
}

bool holds_a_font(const fs::path& folder) {
  std::error_code none;
  const auto skip = fs::directory_options::skip_permission_denied;
  for (fs::recursive_directory_iterator at(folder, skip, none), end; !none && at != end; at.increment(none))
    if (is_font(at->path())) return true;
  return false;
}

}  // namespace

Condition photo_formats() {
  std::string words = "JPEG, PNG, WebP and TIFF";
  words += vision::can_read_heic() ? ", HEIC too" : "; for HEIC, " + std::string(vision::kHeicRemedy);
  return {"photos", reads("\xFF\xD8\xFF\xE0"sv) && reads("\x89PNG\r\n\x1A\n"sv), words};
}

Condition networks() {
  for (const auto model : vision::kModels)
    if (vision::model_weights(model).empty())
      return {"networks", false, "one is empty; install braird again"};
  vision::Photo nothing;
  nothing.facts.width = 640, nothing.facts.height = 480;
  nothing.bgr = cv::Mat(480, 640, CV_8UC3, cv::Scalar(90, 90, 90));
  if (!vision::take_census(nothing, {}, {}).census.trays.empty())
    return {"networks", false, "see a tray in an empty picture; install braird again"};
  return {"networks", true, "load, and see no tray in an empty picture"};
}

Condition ledger_condition(const fs::path& place) {
  try {
    ledger::Ledger(place, ledger::Access::read);
  } catch (const std::exception& why) {
    return {"ledger", false, why.what()};
  }
  std::error_code trouble;
  const bool there = fs::exists(place, trouble);
  if (trouble)
    return {"ledger", false,
            fmt::format("{} cannot be reached ({}); name another file with --ledger", place.string(),
                        trouble.message())};
  const fs::path folder = standing_folder(place);
  if (there && !writable(place))
    return {"ledger", false, place.string() + " can be read, but not written: --keep and note would fail"};
  if (!writable(folder))
    return {"ledger", false,
            fmt::format("{} may not be written in; name another file with --ledger", folder.string())};
  constexpr std::uintmax_t enough = 1'000'000;  // bytes: a kept photo takes some thousands
  if (const auto room = fs::space(folder, trouble); !trouble && room.available < enough)
    return {"ledger", false, "there is no room left on its disk: --keep and note would fail"};
  return {"ledger", true, place.string() + (there ? "" : ", made at the first --keep")};
}

Condition fonts(const std::vector<fs::path>& folders) {
  if (std::ranges::any_of(folders, holds_a_font)) return {"fonts", true, "labels can be shown and printed"};
  return {"fonts", false,
          "there are none, so sheets of labels would lack their words; on Debian: apt install fonts-dejavu"};
}

Condition memory(std::uint64_t available_bytes) {
  const std::string free = fmt::format("{:.1f} GB free", static_cast<double>(available_bytes) / 1e9);
  if (available_bytes >= kEnoughBytes) return {"memory", true, free};
  return {"memory", false, free + "; large photos want 0.5 GB: close other programs, or scale photos down"};
}

std::vector<Condition> conditions(const fs::path& ledger) {
  std::vector<Condition> found = {photo_formats(), networks()};
  try {
    found.push_back(ledger_condition(ledger_place(ledger)));
  } catch (const std::runtime_error& why) {
    found.push_back({"ledger", false, why.what()});
  }
  found.push_back(fonts(font_folders()));
  found.push_back(memory(available_bytes()));
  return found;
}

}  // namespace braird::cli
