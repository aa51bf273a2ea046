// SPDX-License-Identifier: Apache-2.0
// `braird count` from command line to printed line, on the sample photos.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <sstream>

#include "calibration/census_json.h"
#include "cli/app.h"
#include "cli/pictures.h"
#include "cli/whole_file.h"
#include "tests/cli/bench.h"
#include "tests/vision/photo_files.h"
#include "vision/photo.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;

TEST_CASE("--json prints one sound census a photo and nothing else") {
  const Said said = said_on({"count", "--json", "--tray", "8x16", "--crop", "kale", "--seeds", "1", "--lot",
                             "Rowan 12", "--sown", "2026-04-02", "--taken", "2026-04-09", kPhoto, kPhoto});
  CHECK(said.code == ExitCode::ok);
  CHECK(said.err == "");
  CHECK(std::count(said.out.begin(), said.out.end(), '\n') == 2);
  const Census census =
      census_from_json(nlohmann::ordered_json::parse(said.out.substr(0, said.out.find('\n'))));
  CHECK(census.photo.file == kPhoto);
  CHECK(census.photo.width == 2400);
  REQUIRE(census.trays.size() == 1);
  CHECK(census.trays[0].crop == "kale");
  CHECK(census.trays[0].seeds_per_cell == 1);
  CHECK(census.trays[0].lot == "Rowan 12");
  CHECK(census.trays[0].sown_on == "2026-04-02");
  CHECK(census.trays[0].cells.size() == 128);
}

TEST_CASE("--of says what is counted, and a tray whose seedlings are up has no seeds to count") {
  CHECK(said_on({"count", "--of", "beans", kPhoto}).err ==
        "braird: --of beans: must be seedlings or seeds\n");
  const Said said = said_on({"count", "--json", "--of", "seeds", "--tray", "8x16", "--seeds", "1", kPhoto});
  CHECK(said.code == ExitCode::not_all_done);
  CHECK(said.out == "");
  CHECK(said.err.find("plug-128-brassica.jpg: seedlings are up in 92 of 100 cells in the middle") !=
        std::string::npos);
}

TEST_CASE("the day that --taken tells stands in the census where the photo has none") {
  const Said said = said_on({"count", "--json", "--tray", "8x16", "--taken", "2026-04-09", kPhoto});
  const Census census = census_from_json(nlohmann::ordered_json::parse(said.out));
  CHECK(census.photo.taken == "2026-04-09");
}

TEST_CASE("a tray that isn't as stated is named as it would be counted") {
  CHECK(said_on({"count", "--tray", "2x2", kPhoto})
            .err.find("looks 8×16 square, not as stated; correct --tray") != std::string::npos);
}

TEST_CASE("one bad photo does not stop the rest") {
  const Said said = said_on({"count", "--json", "missing.jpg", kPhoto});
  CHECK(said.code == ExitCode::not_all_done);
  CHECK(said.err == "braird: missing.jpg: no such file; check the name and the folder\n");
  CHECK(std::count(said.out.begin(), said.out.end(), '\n') == 1);
}

TEST_CASE("a photo with a line break in its name is refused in one line that names it once") {
  CHECK(said_on({"count", "c\nd.jpg"}).err ==
        "braird: c d.jpg: no such file; check the name and the folder\n");
}

TEST_CASE("a crop that is not in the list is counted, with a remark") {
  const Said said = said_on({"count", "--json", "--tray", "8x16", "--crop", "other", kPhoto});
  CHECK(said.code == ExitCode::ok);
  CHECK(said.out.find(R"("crop":"other")") != std::string::npos);
  CHECK(said.out.find(R"(the crop \"other\" is not in the list of crops)") != std::string::npos);
}

TEST_CASE("--marked and --trace write pictures into their folders and nowhere else") {
  const ScratchFolder folder;
  const Said said = said_on({"count", "--marked", (folder.path / "a" / "marked").string(), "--trace",
                             (folder.path / "trace").string(), kPhoto});
  CHECK(said.code == ExitCode::ok);
  const vision::Photo marked =
      vision::load_photo(folder.path / "a" / "marked" / "plug-128-brassica-marked.jpg");
  CHECK(marked.bgr.cols == 2400);
  CHECK(marked.bgr.rows > 1800);  // the strip that explains the marks
  CHECK(std::distance(std::filesystem::directory_iterator(folder.path / "a" / "marked"), {}) == 1);
  for (const auto& stage : std::filesystem::directory_iterator(folder.path / "trace"))
    CHECK(stage.path().filename().string().starts_with("plug-128-brassica-"));
}

TEST_CASE("a terminal shows progress for several photos; a file or a single photo does not") {
  CHECK(said_on({"count", "missing.jpg", "absent.jpg"}, true).err.find("1 of 2  absent.jpg") !=
        std::string::npos);
  CHECK(said_on({"count", "missing.jpg"}, true).err.find(" of ") == std::string::npos);
  CHECK(said_on({"count", "missing.jpg", "absent.jpg"}).err.find(" of ") == std::string::npos);
}

TEST_CASE("a place that can't be written to is told before anything is counted") {
  const Bench bench;
  const std::string taken = bench.file("taken", "a file"), inside = taken + "/folder";
  for (const char* option : {"--marked", "--trace"}) {
    const Said said = said_on({"count", option, inside, kPhoto});
    CHECK(said.code == ExitCode::trouble);
    CHECK(said.out == "");
    CHECK(said.err == "braird: the folder " + inside + " cannot be made or written to; choose another\n");
  }
  for (const std::string& page : {inside + "/a.html", bench.folder.path.string()}) {
    const Said said = said_on({"count", "--page", page, kPhoto});
    CHECK(said.code == ExitCode::trouble);
    CHECK(said.out == "");
    CHECK(said.err.starts_with("braird: " + page + ": cannot be written; "));
  }
}

TEST_CASE("a picture never replaces a photo, and a count stands without its picture") {
  const Bench bench;
  const std::string bytes = cli::read_whole_file(kPhoto), photo = bench.file("x.jpg", bytes),
                    other = bench.file("x-marked.jpg", bytes);
  const Said said = said_on({"count", "--json", "--marked", bench.folder.path.string(), photo, other});
  CHECK(said.code == ExitCode::not_all_done);
  CHECK(std::count(said.out.begin(), said.out.end(), '\n') == 2);
  CHECK(said.err == "braird: " + photo + ": counted, but " + other +
                        " is a photo or picture and is not written over; choose another place\n");
  CHECK(cli::read_whole_file(other) == bytes);
  CHECK(std::filesystem::exists(bench.folder.path / "x-marked-marked.jpg"));
  CHECK(said_on({"count", "--page", photo, photo}).err ==
        "braird: " + photo + " is a photo or picture and is not written over; choose another place\n");
}

TEST_CASE("a stage's picture that can't be written, or would replace a photo, is told") {
  const Bench bench;
  const std::string jpeg = jpeg_bytes(quartered_scene(20, 20)), stage = bench.file("x-01-look.jpg", jpeg);
  std::string trouble;
  const cv::Mat picture(20, 20, CV_8UC3, cv::Scalar(9, 99, 199));
  const vision::Trace trace = cli::trace_into(bench.folder.path, "x", trouble);
  trace("look", picture);
  CHECK(trouble == stage + " is a photo or picture and is not written over; choose another place");
  CHECK(cli::read_whole_file(stage) == jpeg);
  trace("next", picture);
  CHECK(std::filesystem::exists(bench.folder.path / "x-02-next.jpg"));
  cli::trace_into(stage, "x", trouble)("look", picture);
  CHECK(trouble == "the folder " + stage + " cannot be made or written to; choose another");
}
