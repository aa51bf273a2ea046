// SPDX-License-Identifier: Apache-2.0
#include "tests/vision/heic_files.h"

#include <libheif/heif_cxx.h>

#include <opencv2/imgproc.hpp>
#include <stdexcept>

namespace braird::test {
namespace {

struct Bytes : heif::Context::Writer {
  std::string bytes;
  heif_error write(const void* data, size_t size) override {
    bytes.assign(static_cast<const char*>(data), size);
    return {heif_error_Ok, heif_suberror_Unspecified, ""};
  }
};

std::string big_endian(int value, int bytes) {
  std::string text;
  for (int shift = 8 * (bytes - 1); shift >= 0; shift -= 8) text += static_cast<char>(value >> shift & 0xFF);
  return text;
}

std::string replaced(std::string bytes, const std::string& from, const std::string& to) {
  const std::size_t at = bytes.find(from);
  if (at == std::string::npos) throw std::logic_error("the HEIC photo tells its size elsewhere");
  return bytes.replace(at, from.size(), to);
}

heif::Image image_of(const cv::Mat& bgr, const HeicKind& kind) {
  cv::Mat pixels;
  cv::cvtColor(bgr, pixels, cv::COLOR_BGR2RGB);
  if (kind.bits > 8) pixels.convertTo(pixels, CV_16UC3, ((1 << kind.bits) - 1) / 255.0);
  heif::Image image;
  image.create(pixels.cols, pixels.rows, heif_colorspace_RGB,
               kind.bits > 8 ? heif_chroma_interleaved_RRGGBB_LE : heif_chroma_interleaved_RGB);
  image.add_plane(heif_channel_interleaved, pixels.cols, pixels.rows, kind.bits);
  int stride = 0;
  unsigned char* rows = image.get_plane(heif_channel_interleaved, &stride);
  pixels.copyTo(cv::Mat(pixels.rows, pixels.cols, pixels.type(), rows, static_cast<std::size_t>(stride)));
  if (!kind.profile.empty())
    image.set_raw_color_profile(heif_color_profile_type_prof, {kind.profile.begin(), kind.profile.end()});
  return image;
}

}  // namespace

std::string heic_bytes(const cv::Mat& bgr, const HeicKind& kind) {
  heif::Encoder encoder(heif_compression_HEVC);
  encoder.set_lossy_quality(95);
  encoder.set_parameter("preset", "ultrafast");
  heif::Context::EncodingOptions options;
  options.image_orientation = static_cast<heif_orientation>(kind.orientation);
  heif::Context context;
  context.encode_image(image_of(bgr, kind), encoder, options);
  Bytes written;
  context.write(written);
  return written.bytes;
}

std::string with_heic_size(std::string heic, cv::Size told, cv::Size tells) {
  const auto box = [](cv::Size size) {
    return "ispe" + big_endian(0, 4) + big_endian(size.width, 4) + big_endian(size.height, 4);
  };
  return replaced(std::move(heic), box(told), box(tells));
}

std::string with_tiled_size(std::string heic, cv::Size told, cv::Size tells) {
  const auto grid = [](cv::Size size) {
    return big_endian(0, 4) + big_endian(size.width, 2) + big_endian(size.height, 2);
  };
  return replaced(std::move(heic), grid(told), grid(tells));
}

}  // namespace braird::test
