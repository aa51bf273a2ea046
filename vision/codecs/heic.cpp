// SPDX-License-Identifier: Apache-2.0
// HEIC photos (ISO/IEC 23008-12) through libheif, which is loaded when the first such photo comes: with the
// video codecs behind it, it would add 15 ms to the start of every count, and a machine without it counts all
// other photos.
#include "vision/codecs/exif.h"

namespace braird::vision {
namespace {

bool is_heic(Bytes bytes) {
  if (!holds(bytes, 4, "ftyp")) return false;
  for (const char* brand : {"heic", "heix", "hevc", "heim", "heis", "mif1", "msf1", "avif"})
    if (holds(bytes, 8, brand)) return true;
  return false;
}

}  // namespace
}  // namespace braird::vision

#if BRAIRD_HEIC
#include <dlfcn.h>
#include <libheif/heif.h>

#include <algorithm>
#include <memory>
#include <vector>

namespace braird::vision {
namespace {

/// The functions of libheif in use; `found` only if all are there.
struct Library {
  void* handle = dlopen("libheif.so.1", RTLD_NOW | RTLD_LOCAL);
  bool found = handle != nullptr;

  template <typename Function>
  Function function(const char* name) {
    void* place = handle ? dlsym(handle, name) : nullptr;
    found = found && place;
    return reinterpret_cast<Function>(place);
  }
// NOLINTNEXTLINE(bugprone-macro-parentheses): what is declared can't stand in parentheses
#define BRAIRD_HEIF(name) decltype(&::heif_##name) name = function<decltype(&::heif_##name)>("heif_" #name)
  BRAIRD_HEIF(context_alloc);
  BRAIRD_HEIF(context_free);
  BRAIRD_HEIF(context_read_from_memory_without_copy);
  BRAIRD_HEIF(context_get_primary_image_handle);
  BRAIRD_HEIF(context_set_maximum_image_size_limit);
  BRAIRD_HEIF(image_handle_release);
  BRAIRD_HEIF(image_handle_get_width);
  BRAIRD_HEIF(image_handle_get_height);
  BRAIRD_HEIF(image_handle_get_ispe_width);
  BRAIRD_HEIF(image_handle_get_ispe_height);
  BRAIRD_HEIF(image_handle_get_list_of_metadata_block_IDs);
  BRAIRD_HEIF(image_handle_get_metadata_size);
  BRAIRD_HEIF(image_handle_get_metadata);
  BRAIRD_HEIF(decode_image);
  BRAIRD_HEIF(image_get_width);
  BRAIRD_HEIF(image_get_height);
  BRAIRD_HEIF(image_get_plane_readonly);
  BRAIRD_HEIF(image_release);
#undef BRAIRD_HEIF
};

const Library& library() {
  static const Library loaded;
  return loaded;
}

// From 26,755 a side on, the bytes of a square picture of three colours outgrow an int, in which libheif
// reckons.
constexpr int kMostSide = 20'000;

void require_done(const heif_error& error) {
  if (error.code == heif_error_Ok) return;
  if (error.subcode == heif_suberror_Security_limit_exceeded)
    throw NoPhoto(
        "it has more than 20,000 pixels a side, or too many parts; scale it down and save it as JPEG");
  std::string words = error.message;
  words.erase(words.find_last_not_of(' ') + 1);
  throw DamagedPhoto(words);
}

/// The file's main picture.
struct MainPicture {
  std::unique_ptr<heif_context, void (*)(heif_context*)> context{library().context_alloc(),
                                                                 library().context_free};
  std::unique_ptr<heif_image_handle, void (*)(const heif_image_handle*)> handle{
      nullptr, library().image_handle_release};
  explicit MainPicture(Bytes bytes) {
    library().context_set_maximum_image_size_limit(context.get(), kMostSide);
    require_done(
        library().context_read_from_memory_without_copy(context.get(), bytes.data(), bytes.size(), nullptr));
    heif_image_handle* main = nullptr;
    require_done(library().context_get_primary_image_handle(context.get(), &main));
    handle.reset(main);
  }
};

/// The block of EXIF data starts with how far on its TIFF header lies.
std::vector<unsigned char> exif_of(const heif_image_handle* handle) {
  heif_item_id id = 0;
  if (library().image_handle_get_list_of_metadata_block_IDs(handle, "Exif", &id, 1) != 1) return {};
  std::vector<unsigned char> block(library().image_handle_get_metadata_size(handle, id));
  require_done(library().image_handle_get_metadata(handle, id, block.data()));
  if (block.size() < 4) return {};
  const std::size_t skipped = 4 + (std::size_t{block[0]} << 24 | std::size_t{block[1]} << 16 |
                                   std::size_t{block[2]} << 8 | std::size_t{block[3]});
  if (skipped >= block.size()) return {};
  return {block.begin() + static_cast<std::ptrdiff_t>(skipped), block.end()};
}

PhotoHeader read_header(Bytes bytes) {
  const MainPicture main(bytes);
  PhotoHeader header{library().image_handle_get_width(main.handle.get()),
                     library().image_handle_get_height(main.handle.get()),
                     1,
                     {}};
  if (const auto exif = exif_of(main.handle.get()); !exif.empty()) read_bare_exif(exif, header);
  header.orientation = 1;  // the format has its own, which libheif follows; EXIF's only repeats it
  return header;
}

cv::Mat decode(Bytes bytes, const PhotoHeader& header, int) {
  const MainPicture main(bytes);
  // A picture of tiles tells its size once more, which is only read here; its tiles may reach past its edge.
  const int longer = std::max(library().image_handle_get_ispe_width(main.handle.get()),
                              library().image_handle_get_ispe_height(main.handle.get()));
  library().context_set_maximum_image_size_limit(main.context.get(), std::min(longer + 4096, kMostSide));
  heif_image* decoded = nullptr;
  require_done(library().decode_image(main.handle.get(), &decoded, heif_colorspace_RGB,
                                      heif_chroma_interleaved_RGB, nullptr));
  const std::unique_ptr<heif_image, void (*)(const heif_image*)> owner(decoded, library().image_release);
  int stride = 0;
  const unsigned char* rgb = library().image_get_plane_readonly(decoded, heif_channel_interleaved, &stride);
  const bool sound = rgb && library().image_get_width(decoded, heif_channel_interleaved) == header.width &&
                     library().image_get_height(decoded, heif_channel_interleaved) == header.height;
  if (!sound) throw DamagedPhoto("its pictures are not of the size it tells");
  cv::Mat bgr(header.height, header.width, CV_8UC3);
  for (int y = 0; y < bgr.rows; ++y) {
    const unsigned char* from = rgb + static_cast<std::ptrdiff_t>(y) * stride;
    auto* to = bgr.ptr<cv::Vec3b>(y);
    for (int x = 0; x < bgr.cols; ++x, from += 3) to[x] = {from[2], from[1], from[0]};
  }
  return bgr;
}

}  // namespace

bool can_read_heic() {
  return library().found;
}

const char* const kHeicRemedy = "install the library libheif (on Debian: the package libheif1)";

const Codec kHeic{"HEIC", is_heic, read_header, decode};

}  // namespace braird::vision
#else
namespace braird::vision {
namespace {

PhotoHeader read_header(Bytes) {
  throw DamagedPhoto("this program was built without HEIC");
}

cv::Mat decode(Bytes, const PhotoHeader&, int) {
  throw DamagedPhoto("this program was built without HEIC");
}

}  // namespace

bool can_read_heic() {
  return false;
}

const char* const kHeicRemedy =
    "build this program anew where libheif's headers are (on Debian: libheif-dev)";

const Codec kHeic{"HEIC", is_heic, read_header, decode};

}  // namespace braird::vision
#endif
