// SPDX-License-Identifier: Apache-2.0
#include "cli/pictures.h"

#include <fmt/format.h>
#include <unistd.h>

#include <memory>
#include <opencv2/imgproc.hpp>
#include <set>

#include "cli/whole_file.h"
#include "vision/codecs/codec.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void refuse_folder(const fs::path& folder) {
  throw std::runtime_error("the folder " + folder.string() + " cannot be made or written to; choose another");
}

void save(const fs::path& file, const cv::Mat& picture, int quality) {
  std::error_code trouble;
  fs::create_directories(file.parent_path(), trouble);
  if (!fs::is_directory(file.parent_path(), trouble)) refuse_folder(file.parent_path());
  write_picture(file, vision::encode_jpeg(picture, quality));
}

cv::Mat in_colour(const cv::Mat& picture) {
  if (picture.channels() == 3) return picture;
  cv::Mat bgr;
  cv::cvtColor(picture, bgr, cv::COLOR_GRAY2BGR);
  return bgr;
}

}  // namespace

std::vector<std::string> picture_names(const std::vector<fs::path>& photos) {
  std::vector<std::string> names;
  std::set<std::string> taken;
  for (const fs::path& photo : photos) {
    const std::string stem = photo.stem().string();
    std::string name = stem;
    for (int copy = 2; !taken.insert(name).second; ++copy) name = fmt::format("{}-{}", stem, copy);
    names.push_back(name);
  }
  return names;
}

void require_folder(const fs::path& folder) {
  std::error_code trouble;
  fs::path there = fs::absolute(folder);
  while (!fs::exists(there, trouble) && there.has_relative_path()) there = there.parent_path();
  if (!fs::is_directory(there, trouble) || access(there.c_str(), W_OK | X_OK) != 0) refuse_folder(folder);
}

void save_marked(const fs::path& folder, const std::string& name, const cv::Mat& picture) {
  save(folder / (name + "-marked.jpg"), picture, 88);
}

vision::Trace trace_into(const fs::path& folder, const std::string& name, std::string& trouble) {
  if (folder.empty()) return {};
  const auto number = std::make_shared<int>(0);
  return [folder, number, name, &trouble](const std::string& stage, const cv::Mat& picture) {
    try {
      save(folder / fmt::format("{}-{:02}-{}.jpg", name, ++*number, stage), in_colour(picture), 95);
    } catch (const std::exception& why) {
      trouble = why.what();
    }
  };
}

}  // namespace braird::cli
