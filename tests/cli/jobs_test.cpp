// SPDX-License-Identifier: Apache-2.0
// Several photos at once, and how long each stage took.
#include <doctest/doctest.h>

#include <atomic>
#include <chrono>
#include <opencv2/imgproc.hpp>

#include "cli/in_order.h"
#include "tests/cli/bench.h"
#include "vision/photo.h"

using namespace braird;
using namespace braird::test;

namespace {

const std::string kPhotos = std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/";

}  // namespace

TEST_CASE("results come in order and once each, however many jobs there are and however long each takes") {
  for (const std::size_t jobs : {0, 1, 2, 3, 50}) {
    CAPTURE(jobs);
    std::atomic<int> made{0};
    std::vector<std::size_t> taken;
    const auto make = [&](std::size_t i) {
      ++made;
      std::this_thread::sleep_for(std::chrono::microseconds((i * 7919) % 13 * 100));
      return 10 * i;
    };
    cli::in_order(20, jobs, make, [&](std::size_t i, std::size_t result) {
      CHECK(result == 10 * i);
      taken.push_back(i);
    });
    CHECK(made == 20);
    REQUIRE(taken.size() == 20);
    for (std::size_t i = 0; i < taken.size(); ++i) CHECK(taken[i] == i);
  }
  cli::in_order(
      0, 4, [](std::size_t) { return 0; }, [](std::size_t, int) { FAIL("nothing to take"); });
}

TEST_CASE("two photos at once give what one after the other gives, in the order told, bad ones included") {
  const auto said = [](const std::string& jobs) {
    return said_by("count", {"--json", "--jobs", jobs, kPhotos + "plug-128-brassica.jpg", "missing.jpg",
                             kPhotos + "bench-without-tray.jpg", kPhotos + "paper-chain-264-beet.jpg"});
  };
  const Said one = said("1"), two = said("2");
  CHECK(one.code == cli::ExitCode::not_all_done);
  CHECK(two.code == one.code);
  CHECK(two.out == one.out);
  CHECK(two.err == one.err);
  CHECK(one.err.find("missing.jpg") < one.err.find("bench-without-tray.jpg"));
}

TEST_CASE("--timing names each stage on standard error, once a photo, and leaves the answer alone") {
  const std::string photo = kPhotos + "plug-128-brassica.jpg";
  const Said timed = said_by("count", {"--json", "--timing", photo}),
             plain = said_by("count", {"--json", photo});
  CHECK(timed.out == plain.out);
  CHECK(plain.err.empty());
  CHECK(timed.err.starts_with("braird: " + photo + ": file "));
  for (const char* stage : {" decode ", " look ", " lattice ", " cells ", " rest ", " all "}) {
    CAPTURE(stage);
    CHECK(timed.err.find(stage) != std::string::npos);
  }
  CHECK(std::count(timed.err.begin(), timed.err.end(), '\n') == 1);
}

TEST_CASE("--jobs says so where photos are counted one at a time all the same") {
  const std::string words =
      "braird: --jobs was not used: photos that are kept or timed are counted one at a time\n";
  CHECK(said_by("count", {"--timing", "--jobs", "2", "missing.jpg"}).err.starts_with(words));
  CHECK_FALSE(said_by("count", {"--timing", "--jobs", "1", "missing.jpg"}).err.starts_with(words));
  CHECK_FALSE(said_by("count", {"--jobs", "2", "missing.jpg"}).err.starts_with(words));
}

TEST_CASE("a large photo is marked in its full size, though it was counted at half of it") {
  const Bench bench;
  cv::Mat large;
  cv::resize(vision::load_photo(kPhotos + "plug-128-brassica.jpg").bgr, large, {4000, 3000}, 0, 0,
             cv::INTER_CUBIC);
  const std::string photo = bench.file("large.jpg", jpeg_bytes(large, 90));
  const Said said = said_by("count", {"--json", "--marked", bench.folder.path.string(), photo});
  REQUIRE(said.code == cli::ExitCode::ok);
  CHECK(said.out.find(R"("width":4000,"height":3000)") != std::string::npos);
  CHECK(vision::load_photo(bench.folder.path / "large-marked.jpg").bgr.cols == 4000);
}
