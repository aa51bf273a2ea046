// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <unistd.h>

#include <filesystem>
#include <string>

#include "samples/painter/painter.h"
#include "vision/photo.h"

namespace braird::painter {

/// The scene painted, its picture as its phone saves it: a JPEG, read again. What is lost there tips photos
/// that stand on the edge.
inline PaintedPhoto as_saved(const Scene& scene) {
  PaintedPhoto photo = paint(scene);
  const auto name = "painted-" + std::to_string(getpid()) + ".jpg";
  const std::filesystem::path path = std::filesystem::temp_directory_path() / name;
  vision::save_jpeg(path, photo.picture, scene.finish.jpeg_quality);
  photo.picture = vision::load_photo(path).bgr;
  std::filesystem::remove(path);
  return photo;
}

}  // namespace braird::painter
