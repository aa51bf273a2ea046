// SPDX-License-Identifier: Apache-2.0
#include "cli/pictures.h"

#include <fmt/format.h>

#include <memory>
#include <opencv2/imgproc.hpp>

#include "vision/photo.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;

void make_folder(const fs::path& folder) {
  std::error_code trouble;
  fs::create_directories(folder, trouble);
  if (!fs::is_directory(folder))
    throw std::runtime_error("the folder " + folder.string() + " cannot be made; choose another");
}

cv::Mat in_colour(const cv::Mat& picture) {
  if (picture.channels() == 3) return picture;
  cv::Mat bgr;
  cv::cvtColor(picture, bgr, cv::COLOR_GRAY2BGR);
  return bgr;
}

}  // namespace

void save_marked(const fs::path& folder, const fs::path& photo, const cv::Mat& picture) {
  make_folder(folder);
  vision::save_jpeg(folder / (photo.stem().string() + "-marked.jpg"), picture);
}

vision::Trace trace_into(const fs::path& folder, const fs::path& photo) {
  if (folder.empty()) return {};
  const auto number = std::make_shared<int>(0);
  return [folder, number, name = photo.stem().string()](const std::string& stage, const cv::Mat& picture) {
    make_folder(folder);
    vision::save_jpeg(folder / fmt::format("{}-{:02}-{}.jpg", name, ++*number, stage), in_colour(picture),
                      95);
  };
}

}  // namespace braird::cli
