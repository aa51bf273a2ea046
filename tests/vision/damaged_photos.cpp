// SPDX-License-Identifier: Apache-2.0
// damaged_photos COUNT: the sample photos, damaged in COUNT ways (fixed seed) and read as `braird count`
// reads them. Cut off, bits flipped, blocks blanked or moved, headers that tell a huge size, two files
// joined; as JPEG, PNG, WebP and TIFF, always under a name with the wrong ending. Prints what came of each
// kind. Exits with 1 if one took more than 5 seconds of processor time (30 under sanitizers), or showed, with
// a fit over 0.9, another tray than the sound photo.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <map>
#include <opencv2/imgproc.hpp>
#include <random>

#include "tests/vision/photo_files.h"
#include "vision/labels.h"
#include "vision/take_census.h"

namespace {

#if defined(__SANITIZE_ADDRESS__)
constexpr double kMostSeconds = 30;  // sanitizers take many times as long
#else
constexpr double kMostSeconds = 5;
#endif

using namespace braird;
using Random = std::mt19937;

struct Sound {
  std::string bytes;
  Census census;
};

struct Damage {
  const char* name;
  std::function<std::string(std::string, Random&)> done;
};

std::size_t any(std::size_t below, Random& random) {
  return std::uniform_int_distribution<std::size_t>(0, below - 1)(random);
}

void flip_bits(std::string& bytes, std::size_t from, std::size_t length, int flips, Random& random) {
  for (int i = 0; i < flips; ++i) bytes[from + any(length, random)] ^= static_cast<char>(1 << any(8, random));
}

std::string with_block(std::string bytes, Random& random, bool random_bytes) {
  const std::size_t from = any(bytes.size(), random),
                    length = std::min<std::size_t>(bytes.size() - from, 1 + any(4096, random));
  for (std::size_t i = from; i < from + length; ++i)
    bytes[i] = random_bytes ? static_cast<char>(random()) : '\0';
  return bytes;
}

/// A JPEG's frame header (SOF0..2), a PNG's first chunk, WebP's frame, TIFF's first entries: all within the
/// first bytes that hold a size; here whatever pairs of bytes look like one are made the largest.
std::string with_huge_header(std::string bytes, Random& random) {
  for (std::size_t i = 0; i + 9 < std::min<std::size_t>(bytes.size(), 20'000); ++i)
    if (bytes[i] == '\xff' && bytes[i + 1] >= '\xc0' && bytes[i + 1] <= '\xc2') {
      for (std::size_t k = 5; k < 9; ++k) bytes[i + k] = '\xff';
      return bytes;
    }
  for (std::size_t k = 16 + any(4, random); k < 28; k += 1 + any(3, random)) bytes[k] = '\xff';
  return bytes;
}

const Damage kDamages[] = {
    {"cut off", [](std::string b, Random& r) { return b.substr(0, any(b.size(), r)); }},
    {"cut off near its end",
     [](std::string b, Random& r) { return b.substr(0, b.size() - 1 - any(3000, r)); }},
    {"one bit flipped", [](std::string b, Random& r) { return flip_bits(b, 0, b.size(), 1, r), b; }},
    {"50 bits flipped", [](std::string b, Random& r) { return flip_bits(b, 0, b.size(), 50, r), b; }},
    {"header bits flipped", [](std::string b, Random& r) { return flip_bits(b, 0, 1024, 3, r), b; }},
    {"a block of zeros", [](std::string b, Random& r) { return with_block(b, r, false); }},
    {"a block of noise", [](std::string b, Random& r) { return with_block(b, r, true); }},
    {"a huge header", with_huge_header},
    {"a part left out",
     [](std::string b, Random& r) { return b.erase(any(b.size() - 5000, r), 1 + any(5000, r)); }},
    {"a part twice",
     [](std::string b, Random& r) { return b.insert(any(b.size(), r), b.substr(any(b.size(), r), 3000)); }},
};

vision::Photo photo_of(const std::string& bytes) {
  return vision::photo_from({reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()}, "bench.doc",
                            vision::Detail::counting);
}

Census census_of(const std::string& bytes) {
  const vision::Photo photo = photo_of(bytes);
  vision::Hints hints;
  hints.labels = vision::read_labels(photo);
  return vision::take_census(photo, hints).census;
}

/// From the photo's middle to the tray's; the same whichever way the photo is turned.
double off_middle(const Tray& tray, const PhotoFacts& photo) {
  Point sum;
  for (const Point& corner : tray.corners_px) sum = {sum.x + corner.x / 4, sum.y + corner.y / 4};
  return std::hypot(sum.x - photo.width / 2.0, sum.y - photo.height / 2.0);
}

bool is_known(const Tray& tray, const PhotoFacts& photo, const Census& sound) {
  return std::ranges::any_of(sound.trays, [&](const Tray& known) {
    const bool shape = std::minmax(tray.layout.rows, tray.layout.cols) ==
                           std::minmax(known.layout.rows, known.layout.cols) &&
                       tray.layout.lattice == known.layout.lattice;
    return shape && std::abs(tray.pitch_px / known.pitch_px - 1) < 0.05 &&
           std::abs(off_middle(tray, photo) - off_middle(known, sound.photo)) < known.pitch_px / 2;
  });
}

std::vector<Sound> sound_photos() {
  std::vector<Sound> photos;
  for (const char* name :
       {"plug-128-brassica", "paper-chain-264-beet", "paper-chain-264-brassica", "bench-without-tray"}) {
    const std::string path = std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/" + name + ".jpg";
    const cv::Mat bgr = vision::load_photo(path).bgr;
    cv::Mat half;
    cv::resize(bgr, half, {}, 0.5, 0.5, cv::INTER_AREA);
    for (const std::string& bytes :
         {test::jpeg_bytes(bgr, test::Exif{1, "2026:04:09 08:00:00"}), test::progressive_jpeg_bytes(bgr),
          test::png_bytes(half), test::webp_bytes(half), test::tiff_bytes(half, 8, {})})
      photos.push_back({bytes, census_of(bytes)});
  }
  return photos;
}

struct Tally {
  int refused = 0, no_tray = 0, same = 0, wrong_unsure = 0, wrong = 0;
  double slowest = 0;
};

void add(Tally& tally, const std::string& bytes, const Census& sound) {
  const std::clock_t start = std::clock();
  try {
    const Census census = census_of(bytes);
    const auto unknown = [&](const Tray& tray) { return !is_known(tray, census.photo, sound); };
    const auto sure = [&](const Tray& tray) { return unknown(tray) && tray.fit > 0.9; };
    if (census.trays.empty())
      ++tally.no_tray;
    else if (std::ranges::any_of(census.trays, sure))
      ++tally.wrong;
    else
      ++(std::ranges::any_of(census.trays, unknown) ? tally.wrong_unsure : tally.same);
  } catch (const std::runtime_error&) {
    ++tally.refused;
  }
  tally.slowest = std::max(tally.slowest, static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
}

}  // namespace

int main(int argc, char** argv) {
  const int count = argc > 1 ? std::atoi(argv[1]) : 1000;
  const std::vector<Sound> photos = sound_photos();
  std::map<std::string, Tally> tallies;
  for (int i = 0; i < count; ++i) {
    Random random(static_cast<unsigned>(i));
    const Sound& sound = photos[any(photos.size(), random)];
    const Damage& damage = kDamages[static_cast<std::size_t>(i) % std::size(kDamages)];
    add(tallies[damage.name], damage.done(sound.bytes, random), sound.census);
  }
  fmt::print(
      "| damage | refused | no tray seen | the same tray | another, fit up to 0.9 | another, fit over 0.9 | "
      "slowest, s |\n"
      "| --- | --- | --- | --- | --- | --- | --- |\n");
  bool failed = false;
  for (const auto& [name, t] : tallies) {
    fmt::print("| {} | {} | {} | {} | {} | {} | {:.1f} |\n", name, t.refused, t.no_tray, t.same,
               t.wrong_unsure, t.wrong, t.slowest);
    failed = failed || t.wrong > 0 || t.slowest > kMostSeconds;
  }
  return failed ? 1 : 0;
}
