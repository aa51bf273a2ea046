// SPDX-License-Identifier: Apache-2.0
#include "cli/whole_file.h"

#include <unistd.h>

#include <fstream>
#include <iterator>
#include <stdexcept>

namespace braird::cli {

namespace fs = std::filesystem;

static void refuse_to_write(const fs::path& path) {
  throw std::runtime_error(
      path.string() + ": cannot be written; check that the folder exists, is yours to write to and has room");
}

void require_place_for(const fs::path& path) {
  std::error_code trouble;
  const fs::path folder = path.has_parent_path() ? path.parent_path() : ".";
  if (fs::is_directory(path, trouble) || access(folder.c_str(), W_OK | X_OK) != 0) refuse_to_write(path);
}

void write_whole_file(const fs::path& path, const std::string& content) {
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

}  // namespace braird::cli
