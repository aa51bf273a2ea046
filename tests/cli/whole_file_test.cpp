// SPDX-License-Identifier: Apache-2.0
// What is written never replaces a photo or a ledger, whatever place is named.
#include "cli/whole_file.h"

#include <doctest/doctest.h>

#include <filesystem>

#include "tests/cli/ledger_bench.h"
#include "vision/codecs/codec.h"
#include "vision/photo.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;

namespace {

std::string refusal(const std::function<void()>& write) {
  try {
    write();
  } catch (const std::runtime_error& why) {
    return why.what();
  }
  return "";
}

}  // namespace

TEST_CASE("a picture reads back and gives way to the next one, and a failed save leaves nothing behind") {
  const ScratchFolder folder;
  const auto place = folder.path / "marked.jpg";
  const std::string jpeg = vision::encode_jpeg(quartered_scene(320, 240), 95),
                    png = vision::encode_png(quartered_scene(320, 240));
  for (const std::string& picture : {jpeg, png, jpeg}) {
    cli::write_picture(place, picture);
    CHECK(vision::load_photo(place).bgr.size() == cv::Size(320, 240));
  }
  CHECK(refusal([&] { cli::write_whole_file(place, "a page"); }) ==
        place.string() + " is a photo or picture and is not written over; choose another place");
  CHECK(refusal([&] { cli::write_picture(folder.path / "nowhere" / "marked.jpg", jpeg); }) != "");
  CHECK(std::distance(std::filesystem::directory_iterator(folder.path), {}) == 1);
}

TEST_CASE("no photo of any format is replaced, by a picture neither") {
  const ScratchFolder folder;
  const cv::Mat scene = quartered_scene(320, 240);
  for (const std::string& photo :
       {jpeg_bytes(scene), png_bytes(scene), webp_bytes(scene), tiff_bytes(scene, 8, {}),
        std::string("\0\0\0\x18"
                    "ftypheic",
                    12)}) {
    const auto place = folder.write("photo", photo);
    const std::string words =
        place.string() + " is a photo or picture and is not written over; choose another place";
    CHECK(refusal([&] { cli::write_picture(place, jpeg_bytes(scene)); }) == words);
    CHECK(refusal([&] { cli::write_whole_file(place, "a page"); }) == words);
    CHECK(refusal([&] { cli::require_place_for(place); }) == words);
    CHECK(cli::read_whole_file(place) == photo);
  }
}

TEST_CASE("a name that promises another kind of file is refused") {
  const LedgerBench bench;
  for (const auto& [command, right] :
       {std::pair<std::vector<std::string>, const char*>{
            {"label", "--lot", "Rowan 12", "--tray", "plug-72", "--out", bench.path("x.png")}, ".svg"},
        {{"report", "--out", bench.path("x.pdf")}, ".html or .htm"},
        {{"count", "--keep", "--page", bench.path("x.pdf"), kPhoto}, ".html or .htm"},
        {{"watch", bench.folder.path.string(), "--once", "--report", bench.path("x.pdf")}, ".html or .htm"},
        {{"check", "--picture", bench.path("x.png")}, ".jpg or .jpeg"}}) {
    const Said said = bench.say(command);
    CAPTURE(said.err);
    CHECK(said.code == ExitCode::usage);
    CHECK(said.out.empty());
    CHECK(said.err.ends_with(std::string(": must end in ") + right + "\n"));
  }
  CHECK(bench.say({"lots"}).out.find("Rowan") == std::string::npos);
  CHECK(bench.say({"report", "--out", bench.path("Season.HTML")}).code == ExitCode::ok);
}

TEST_CASE("no command writes over a photo or the ledger") {
  const LedgerBench bench;
  const std::string bytes = cli::read_whole_file(kPhoto), photo = bench.write("p.jpg", bytes);
  REQUIRE(bench
              .say({"count", "--keep", "--tray", "plug-128", "--crop", "kale", "--seeds", "1", "--lot",
                    "Rowan 12", "--sown", "2026-04-02", "--taken", "2026-04-09", photo})
              .code == ExitCode::ok);
  std::filesystem::create_directory(bench.path("arrivals"));
  const std::string ledger = cli::read_whole_file(bench.ledger);
  for (const std::string& place : {photo, bench.ledger})
    for (const std::vector<std::string>& command :
         {std::vector<std::string>{"check", "p.jpg", "--picture", place},
          {"report", "--out", place},
          {"label", "--lot", "Rowan 12", "--tray", "plug-128", "--out", place},
          {"watch", bench.path("arrivals"), "--once", "--report", place},
          {"count", "--keep", "--page", place, photo}}) {
      CAPTURE(command[0]);
      const Said said = bench.say(command);
      CHECK(said.code == ExitCode::trouble);
      CHECK(said.err.starts_with("braird: " + place + " is a "));
      CHECK(said.err.ends_with(" and is not written over; choose another place\n"));
      CHECK(cli::read_whole_file(photo) == bytes);
    }
  CHECK(cli::read_whole_file(bench.ledger) == ledger);
}
