// SPDX-License-Identifier: Apache-2.0
// A tray kept on two days: its earlier photo is read again once the later one is there.
#include "cli/read_again.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <opencv2/core.hpp>

#include "calibration/ledger/history.h"
#include "tests/cli/bench.h"
#include "vision/codecs/codec.h"
#include "vision/coming_up.h"
#include "vision/photo.h"

using namespace braird;
using namespace braird::test;

namespace {

/// The sample photo as taken on two days, the second in brighter light, and a ledger.
struct TwoDays : Bench {
  std::string ledger = (folder.path / "l.sqlite").string(), first = (folder.path / "first.jpg").string(),
              second = (folder.path / "second.jpg").string();

  TwoDays() {
    std::filesystem::copy_file(kPhoto, first);
    cv::Mat bright;
    vision::load_photo(kPhoto).bgr.convertTo(bright, -1, 1.1, 4);
    file("second.jpg", vision::encode_jpeg(bright, 92));
  }
  Said keep(const std::string& photo, const std::string& day) const {
    return said_on({"count", "--keep", "--tray", "plug-128", "--crop", "kale", "--seeds", "1", "--lot",
                    "Rowan 12", "--tag", "T-1", "--sown", "2026-04-02", "--taken", day, "--ledger", ledger,
                    photo});
  }
  ledger::KeptCensus kept(const std::string& photo) const {
    return find_census(ledger::Ledger(ledger, ledger::Access::read), photo).census;
  }
  std::string undo() const { return said_on({"undo", "--ledger", ledger}).out; }
};

/// The farthest that chances are apart.
double apart(const Tray& one, const Tray& other) {
  double farthest = 0;
  for (std::size_t at = 0; at < one.cells.size(); ++at)
    for (std::size_t k = 0; k < one.cells[at].probability.size(); ++k)
      farthest = std::max(farthest, std::abs(one.cells[at].probability[k] - other.cells[at].probability[k]));
  return farthest;
}

}  // namespace

TEST_CASE("an earlier photo is read again once a later one is kept, and one undo takes both back") {
  const TwoDays days;
  CHECK(days.keep(days.first, "2026-04-08").err.find("again") == std::string::npos);
  const Tray alone = days.kept(days.first).tray;
  CHECK(days.keep(days.second, "2026-04-09").err ==
        "braird: " + days.second +
            ": kept in lot Rowan 12, tray T-1, photo 2 of this tray, 1 earlier photo read again\n");
  const ledger::KeptCensus first = days.kept(days.first);
  const vision::Photo photo = vision::load_photo(days.first, vision::Detail::counting);
  vision::Hints hints;
  hints.habit = vision::SeedlingHabit::round_pair, hints.seeds_per_cell = 1;
  const auto chances = count_coming_up({photo, first.tray}, hints);
  CHECK(apart(first.tray, vision::with_counts(first.tray, chances)) < 0.001);
  CHECK(apart(first.tray, alone) > 0.001);
  CHECK(said_on({"lot", "Rowan 12", "--cells", "--ledger", days.ledger}).out.find("Cells that came up: ") !=
        std::string::npos);
  const std::string undone = days.undo();
  CHECK(undone.find("read " + days.first + " again") < undone.find("kept " + days.second));
  CHECK(apart(days.kept(days.first).tray, alone) == 0);
}

TEST_CASE("a photo kept after a later one is read again itself") {
  const TwoDays days;
  days.keep(days.second, "2026-04-09");
  CHECK(days.keep(days.first, "2026-04-08")
            .err.ends_with("photo 2 of this tray, read again as an earlier one\n"));
}

TEST_CASE("earlier photos stay as they were read where their counter misses what stands") {
  const TwoDays days;
  cv::Mat bgr = vision::load_photo(days.first).bgr;
  for (cv::Vec3b& c : cv::Mat_<cv::Vec3b>(bgr))
    if (2 * c[1] - c[0] - c[2] > 16) c = {24, 30, 36};  // as the medium: neither counter sees these plants
  days.file("second.jpg", vision::encode_jpeg(bgr, 92));
  days.keep(days.first, "2026-04-08");
  days.keep(days.second, "2026-04-09");
  const ledger::Bytes hash = days.kept(days.second).hash;
  ledger::Ledger file(days.ledger, ledger::Access::write);
  CHECK(cli::read_again(file, hash).at(0).earlier == 1);
  file.step("see plants", [&] {  // as a counter would that knows them
    file.file().run("UPDATE censuses SET counts = (SELECT counts FROM censuses ORDER BY id LIMIT 1)");
  });
  CHECK(cli::read_again(file, hash).at(0).earlier == 0);
}

TEST_CASE("earlier photos that were changed, moved or checked by hand stay as they were read") {
  const TwoDays days;
  days.keep(days.first, "2026-04-08");
  const Tray alone = days.kept(days.first).tray;
  const auto keep_second = [&] { return days.keep(days.second, "2026-04-09").err; };
  const std::string moved = days.first + ".moved";

  std::filesystem::rename(days.first, moved);
  CHECK(keep_second().ends_with(", photo 2 of this tray\n"));
  std::filesystem::copy_file(days.second, days.first);  // another photo under its name
  CHECK(keep_second().ends_with(", photo 2 of this tray\n"));
  std::filesystem::remove(days.first);
  std::filesystem::rename(moved, days.first);
  const std::string table = days.file("t.csv", "tray,row,col,count\nfirst.jpg,1,1,1\n");
  said_on({"check", "--counts", table, "--ledger", days.ledger});
  CHECK(keep_second().ends_with(", photo 2 of this tray\n"));
  CHECK(apart(days.kept(days.first).tray, alone) == 0);
}
