// SPDX-License-Identifier: Apache-2.0
#include "cli/whole_file.h"

#include <fmt/format.h>
#include <iconv.h>
#include <unistd.h>

#include <algorithm>
#include <fstream>
#include <iostream>
#include <iterator>
#include <optional>
#include <stdexcept>
#include <utility>

#include "calibration/hand_count_row.h"
#include "vision/codecs/codec.h"

namespace braird::cli {

namespace fs = std::filesystem;

namespace {

// After what a decoder reads.
constexpr std::string_view kDrawn = "\ndrawn by braird\n";
constexpr std::string_view kLedger = "SQLite format 3";

[[noreturn]] void refuse_to_write(const fs::path& path) {
  throw std::runtime_error(
      path.string() + ": cannot be written; check that the folder exists, is yours to write to and has room");
}

bool is_drawn(std::ifstream& file) {
  std::string end(kDrawn.size(), '\0');
  file.seekg(-std::ssize(end), std::ios::end);
  return file.read(end.data(), std::ssize(end)) && end == kDrawn;
}

void refuse_to_replace(const fs::path& path, bool by_picture) {
  std::error_code missing;
  if (!fs::is_regular_file(path, missing)) return;
  std::ifstream file(path, std::ios::binary);
  unsigned char head[16] = {};
  file.read(reinterpret_cast<char*>(head), sizeof head);
  file.clear();
  const char* what = nullptr;
  if (vision::holds(head, 0, kLedger)) what = "a ledger or another database";
  if (vision::codec_for(head) && !(by_picture && is_drawn(file))) what = "a photo or picture";
  if (what)
    throw std::runtime_error(path.string() + " is " + what +
                             " and is not written over; choose another place");
}

void replace(const fs::path& path, std::string_view content) {
  fs::path unfinished = path;
  unfinished += ".part";
  std::ofstream file(unfinished, std::ios::binary);
  file << content;
  file.close();
  std::error_code trouble;
  if (file) fs::rename(unfinished, path, trouble);
  if (file && !trouble) return;
  fs::remove(unfinished, trouble);
  refuse_to_write(path);
}

/// Nothing if it is not well formed.
std::optional<std::string> utf8_of_utf16(std::string text) {
  std::string utf8(2 * text.size(), '\0');  // two bytes take three at most, the mark none
  char *from = text.data(), *to = utf8.data();
  std::size_t left = text.size(), room = utf8.size();
  const iconv_t converter = iconv_open("UTF-8", "UTF-16");
  const bool sound = iconv(converter, &from, &left, &to, &room) != static_cast<std::size_t>(-1);
  iconv_close(converter);
  if (!sound) return std::nullopt;
  utf8.resize(utf8.size() - room);
  return utf8;
}

}  // namespace

void require_ending(std::string_view option, const fs::path& path,
                    std::initializer_list<std::string_view> fitting) {
  const std::string ending = lower(path.extension().string());
  if (ending.empty() || std::ranges::count(fitting, ending) > 0) return;
  refuse_to_replace(path, false);
  throw std::invalid_argument(
      fmt::format("{} {}: must end in {}", option, path.string(), fmt::join(fitting, " or ")));
}

void require_place_for(const fs::path& path) {
  std::error_code trouble;
  const fs::path folder = path.has_parent_path() ? path.parent_path() : ".";
  if (fs::is_directory(path, trouble) || access(folder.c_str(), W_OK | X_OK) != 0) refuse_to_write(path);
  refuse_to_replace(path, false);
}

void write_whole_file(const fs::path& path, const std::string& content) {
  refuse_to_replace(path, false);
  replace(path, content);
}

void write_picture(const fs::path& path, const std::string& content) {
  refuse_to_replace(path, true);
  replace(path, content + std::string(kDrawn));
}

std::string read_whole_file(const fs::path& path) {
  std::error_code unused;
  if (!fs::exists(path, unused))
    throw std::runtime_error(path.string() + ": no such file; check the name and the folder");
  if (fs::is_directory(path, unused))
    throw std::runtime_error(path.string() + ": is a folder; name a file in it");
  std::ifstream in(path, std::ios::binary);
  std::string content{std::istreambuf_iterator<char>(in), {}};
  if (!in) throw std::runtime_error(path.string() + ": could not be read");
  return content;
}

std::string read_text(const fs::path& path) {
  std::string content =
      path == "-" ? std::string{std::istreambuf_iterator<char>(std::cin), {}} : read_whole_file(path);
  if (!content.starts_with("\xFF\xFE") && !content.starts_with("\xFE\xFF")) return content;
  if (auto text = utf8_of_utf16(std::move(content))) return std::move(*text);
  throw std::runtime_error(path.string() + ": is damaged or cut off (UTF-16); save it again, best in UTF-8");
}

}  // namespace braird::cli
