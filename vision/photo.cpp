// SPDX-License-Identifier: Apache-2.0
#include "vision/photo.h"

#include <fstream>
#include <opencv2/imgproc.hpp>
#include <stdexcept>
#include <system_error>
#include <vector>

#include "vision/codecs/codec.h"
#include "vision/shrink.h"

namespace braird::vision {
namespace {

namespace fs = std::filesystem;

// The largest phone cameras give 48 to 108 megapixels, and 12 show all that a count needs; 100 megapixels are
// 300 MB.
constexpr long long kMostPixels = 100'000'000;
constexpr std::uintmax_t kMostBytes = 300'000'000;
constexpr int kLeastSide = 200;
constexpr int kMostSide = 32'766;  // OpenCV's remap takes no more
constexpr int kCountingSide = 1800;

[[noreturn]] void refuse(const fs::path& path, const std::string& clause) {
  throw std::runtime_error(path.string() + ": " + clause);
}

std::uintmax_t size_of_file(const fs::path& path) {
  std::error_code trouble;
  const fs::file_status status = fs::status(path, trouble);
  if (!fs::exists(status)) refuse(path, "no such file; check the name and the folder");
  if (fs::is_directory(status)) refuse(path, "this is a folder; name the photos in it, as in FOLDER/*.jpg");
  if (!fs::is_regular_file(status)) refuse(path, "this is not a file that holds a photo; name a photo");
  const std::uintmax_t size = fs::file_size(path, trouble);
  if (trouble) refuse(path, "cannot be read (" + trouble.message() + "); check its permissions");
  return size;
}

std::vector<unsigned char> read_file(const fs::path& path) {
  const std::uintmax_t size = size_of_file(path);
  if (size == 0) refuse(path, "this file is empty, perhaps a copy that failed; copy the photo again");
  if (size > kMostBytes)
    refuse(path, "this file is larger than 300 MB; save the photo as JPEG and try again");
  std::vector<unsigned char> bytes(size);
  std::ifstream file(path, std::ios::binary);
  if (!file.read(reinterpret_cast<char*>(bytes.data()), static_cast<std::streamsize>(size)))
    refuse(path, "cannot be read; check its permissions, or copy the photo again");
  return bytes;
}

const Codec& codec_of(const fs::path& path, Bytes bytes) {
  const Codec* codec = codec_for(bytes);
  if (codec == &kHeic && !can_read_heic())
    refuse(path, std::string("this is a HEIC photo, which can't be read here; ") + kHeicRemedy +
                     ", or save the photo as JPEG (on the phone: choose \"most compatible\" or share it as "
                     "JPEG), and try again");
  if (codec) return *codec;
  refuse(path, "this is not a JPEG, PNG, WebP, TIFF or HEIC photo, whatever its name says; name a photo");
}

[[noreturn]] void refuse_damaged(const fs::path& path, const Codec& codec, const DamagedPhoto& why) {
  refuse(path, std::string("this ") + codec.name + " photo is damaged or incomplete (" + why.what() +
                   "); copy it from the phone again, or take a new one");
}

void require_fitting_size(const fs::path& path, const PhotoHeader& header) {
  if (header.width < 1 || header.height < 1) throw DamagedPhoto("its header is cut off");
  const std::string size = std::to_string(header.width) + " x " + std::to_string(header.height) + " pixels";
  if (static_cast<long long>(header.width) * header.height > kMostPixels)
    refuse(path, "this photo of " + size + " is larger than 100 megapixels; scale it down and try again");
  if (std::max(header.width, header.height) > kMostSide)
    refuse(path, "this photo of " + size + " is longer than " + std::to_string(kMostSide) +
                     " pixels; cut it to its trays and try again");
  if (header.width < kLeastSide || header.height < kLeastSide)
    refuse(path, "this photo of " + size + " is too small to show a tray (at least " +
                     std::to_string(kLeastSide) + " a side); use the photo as the camera took it");
}

/// EXIF orientation o: stored row 0 lies at the top (1, 2), bottom (3, 4), left (5, 8) or right (6, 7) of the
/// scene.
cv::Mat upright(const cv::Mat& stored, int orientation) {
  cv::Mat turned = stored;
  if (orientation >= 5) cv::transpose(stored, turned);
  const bool mirror_x = orientation == 2 || orientation == 3 || orientation == 6 || orientation == 7;
  const bool mirror_y = orientation == 3 || orientation == 4 || orientation == 7 || orientation == 8;
  if (mirror_x && mirror_y)
    cv::flip(turned, turned, -1);
  else if (mirror_x)
    cv::flip(turned, turned, 1);
  else if (mirror_y)
    cv::flip(turned, turned, 0);
  return turned;
}

/// By what the photo's sides are divided: 1, 2, 4 or 8.
int divisor_for(const PhotoHeader& header, Detail detail) {
  int divisor = 1;
  if (detail == Detail::counting)
    while (divisor < 8 && std::max(header.width, header.height) / (2 * divisor) >= kCountingSide)
      divisor *= 2;
  return divisor;
}

/// What was decoded, shrunk where the codec could not do that by itself.
cv::Mat divided(const cv::Mat& decoded, const PhotoHeader& header, int divisor) {
  return divisor > 1 && decoded.cols == header.width ? shrunk(decoded, 1.0 / divisor) : decoded;
}

}  // namespace

Photo load_photo(const fs::path& path, Detail detail) {
  Stopwatch watch;
  const std::vector<unsigned char> bytes = read_file(path);
  watch.lap("file");
  Photo photo = photo_from(bytes, path, detail);
  watch.lap("decode");
  photo.times = watch.times();
  return photo;
}

Photo photo_from(Bytes bytes, const fs::path& path, Detail detail) {
  const Codec& codec = codec_of(path, bytes);
  try {
    const PhotoHeader header = codec.read_header(bytes);
    require_fitting_size(path, header);
    const int divisor = divisor_for(header, detail);
    const cv::Mat bgr =
        upright(divided(codec.decode(bytes, header, divisor), header, divisor), header.orientation);
    const bool turned = header.orientation >= 5;
    const int width = turned ? header.height : header.width, height = turned ? header.width : header.height;
    return {{path.string(), width, height, header.taken}, bgr, 1.0 / divisor};
  } catch (const NoPhoto& why) {
    refuse(path, std::string("this ") + codec.name + " file is no photo: " + why.what());
  } catch (const DamagedPhoto& why) {
    refuse_damaged(path, codec, why);
  }
}

}  // namespace braird::vision
