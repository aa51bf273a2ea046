// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "samples/painter/painter.h"
#include "vision/codecs/codec.h"
#include "vision/photo.h"

namespace braird::painter {

/// The scene painted, its picture as its phone saves it: a JPEG, read again. What is lost there tips photos
/// that stand on the edge.
inline PaintedPhoto as_saved(const Scene& scene) {
  PaintedPhoto photo = paint(scene);
  const std::string jpeg = vision::encode_jpeg(photo.picture, scene.finish.jpeg_quality);
  photo.picture =
      vision::photo_from({reinterpret_cast<const unsigned char*>(jpeg.data()), jpeg.size()}, "painted").bgr;
  return photo;
}

}  // namespace braird::painter
