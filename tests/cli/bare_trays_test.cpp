// SPDX-License-Identifier: Apache-2.0
// Photos of trays in which nothing is up yet, kept without a tag: which tray it is the medium's litter tells.
#include <doctest/doctest.h>

#include <filesystem>
#include <opencv2/imgproc.hpp>

#include "samples/painter/days.h"
#include "samples/painter/painter.h"
#include "tests/cli/bench.h"

using namespace braird;
using namespace braird::test;

namespace {

/// A photo of a tray on a day, in a light of its own; `which` tells trays apart.
cv::Mat photographed(unsigned which, double day) {
  painter::Scene scene;
  scene.seed = which;
  scene.ground = painter::Ground::table;
  painter::Tray tray;
  tray.rows = 6, tray.cols = 9;
  scene.trays = {tray};
  scene.camera.size = {640, 480};
  scene.camera.distance_mm = 330;
  return paint(on_day(scene, day, {.half_up = 30})).picture;
}

/// Files of one tray on two days, the second time also the other way round, and of another on the second day.
struct BareTrays : Bench {
  std::string ledger = (folder.path / "l.sqlite").string();
  std::string first, second, turned, other;

  BareTrays() {
    static const cv::Mat early = photographed(1, 5), late = photographed(1, 7), others = photographed(2, 7);
    cv::Mat late_turned;
    cv::rotate(late, late_turned, cv::ROTATE_180);
    first = file("first.png", png_bytes(early)), second = file("second.png", png_bytes(late));
    turned = file("turned.png", png_bytes(late_turned)), other = file("other.png", png_bytes(others));
  }
  /// What is said of a photo that is kept.
  std::string keep(const std::string& photo, const std::string& day = "") const {
    std::vector<std::string> words{"count",  "--keep",     "--tray",   "6x9",   "--lattice",
                                   "square", "--seeds",    "1",        "--lot", "Rowan 12",
                                   "--sown", "2026-04-02", "--ledger", ledger,  photo};
    if (!day.empty()) words.insert(words.end() - 1, {"--taken", day});
    const Said said = said_on(words);
    REQUIRE(said.code == cli::ExitCode::ok);
    return said.err;
  }
};

const std::string kJoined = ", photo 2 of this tray", kNew = "kept in lot Rowan 12\n";

}  // namespace

TEST_CASE("a bare tray is joined with its photo of another day, whichever way round it lies") {
  const BareTrays trays;
  CHECK(trays.keep(trays.first, "2026-04-07").ends_with(kNew));
  CHECK(trays.keep(trays.other, "2026-04-09").ends_with(kNew));
  CHECK(trays.keep(trays.second, "2026-04-09").find(kJoined + ", 1 earlier") != std::string::npos);
  CHECK(said_on({"undo", "--ledger", trays.ledger}).code == cli::ExitCode::ok);
  CHECK(trays.keep(trays.turned, "2026-04-09").find(kJoined + ", turned by half") != std::string::npos);
}

TEST_CASE("photos of one day, and such as don't tell the day, are not compared") {
  const BareTrays trays;
  trays.keep(trays.first, "2026-04-07");
  CHECK(trays.keep(trays.second, "2026-04-07").ends_with(kNew));
  CHECK(trays.keep(trays.turned).ends_with(kNew));
}

TEST_CASE("a bare tray whose earlier photo is gone is a new one") {
  const BareTrays trays;
  trays.keep(trays.first, "2026-04-07");
  std::filesystem::remove(trays.first);
  CHECK(trays.keep(trays.second, "2026-04-09").ends_with(kNew));
}
