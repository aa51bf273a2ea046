// SPDX-License-Identifier: Apache-2.0
// The report as a whole, from a ledger; its parts are for report_parts_test.cpp, and how it behaves in a
// browser for page/page_test.py.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <regex>

#include "calibration/ledger/keep.h"
#include "cli/order.h"
#include "cli/report/gather.h"
#include "cli/report/html.h"
#include "cli/report/page.h"
#include "cli/report/picture_files.h"
#include "cli/report/tray_map.h"
#include "tests/cli/kept_report.h"
#include "tests/cli/reported_trays.h"
#include "vision/codecs/codec.h"
#include "vision/photo.h"

using namespace braird;
using namespace braird::report;
using namespace braird::test;
using cli::ExitCode;

namespace {

const std::string kHostile = "<script>alert('1')</script> & \"Söhne\"";

}  // namespace

TEST_CASE("the page holds what the terminal says, and nothing hostile gets through") {
  Kept kept;
  std::vector<int> counts(72, 1);
  for (std::size_t at = 0; at < 30; ++at) counts[at] = 0;
  kept.keep("a.jpg", tray_with({6, 12}, std::vector<int>(72, 1)), kHostile, "2026-03-03",
            "2026-03-12T09:00:00");
  kept.keep("b.jpg", tray_with({6, 12}, counts), kHostile);
  kept.say("note", {kHostile, "--stated", "97", "--variety", kHostile, "--decided", kHostile});
  const std::string html = kept.page_about({{}, kHostile, {}, {}});
  CHECK(html.find("alert('1')") == std::string::npos);
  CHECK(html.find(escaped(kHostile)) != std::string::npos);
  const auto lots = ledger::season(kept.ledger, {});
  REQUIRE(lots.size() == 1);
  CHECK(html.find("<b>" + escaped(rate_words(*lots[0].germination)) + "</b>") != std::string::npos);
  for (const std::string& suspicion : lots[0].suspicions)
    CHECK(html.find(escaped(suspicion)) != std::string::npos);
  CHECK(html.find("The photo a.jpg could not be read again") != std::string::npos);  // it is no photo
  const std::string main = html.substr(html.find("<main"), html.find("</main>") + 7 - html.find("<main"));
  CHECK(is_well_formed(std::regex_replace(main, std::regex("<br>"), "")));
  CHECK(html.find("http") == html.find("http-equiv"));  // no address at all
  CHECK(count_of(html, "http") == 2);                   // beside that, an SVG's name space in the program
}

TEST_CASE("a pack and a temperature that can't be are refused, and of older ledgers left aside") {
  Kept kept;
  kept.keep("a.jpg", tray_with({6, 12}, std::vector<int>(72, 1)), "Rowan 12");
  CHECK(kept.say("note", {"Rowan 12", "--stated", "0.92"}).err ==
        "braird: --stated 0.92: must be in percent, from 2 to 100, as in 92\n");
  CHECK(kept.say("note", {"Rowan 12", "--sown", "2026-04-02", "--temperature", "68"}).err ==
        "braird: --temperature 68: must be from -10 to 60 °C\n");
  kept.ledger.file().prepare("UPDATE lots SET stated_percent = 0.92").run();
  kept.ledger.file().prepare("UPDATE sowings SET temperature_c = 68").run();
  CHECK(kept.page_about({{}, "Rowan 12", {}, {}}).find("What to do") != std::string::npos);
}

TEST_CASE("the page says where the wanted number comes from, and how its choices are ranked") {
  Kept kept;
  std::vector<int> counts(72, 1);
  for (std::size_t at = 0; at < 30; ++at) counts[at] = 0;
  kept.keep("a.jpg", tray_with({6, 12}, counts), "Rowan 12");
  const std::string html = kept.page_about({});
  CHECK(html.find(escaped("Wanted: 65 of 72 cells, since up to 10 % gaps are hardly worth filling.")) !=
        std::string::npos);
  CHECK(html.find("braird advise ranks these by cost: tell it your bed") != std::string::npos);
}

TEST_CASE("advice on trays of two kinds sown on one day says that it is on all of them") {
  Kept kept;
  kept.keep("a.jpg", tray_with({6, 12}, std::vector<int>(72, 1)), "Rowan 12", "2026-03-01", "2026-03-13");
  const report::Subject season{};
  CHECK(kept.page_about(season).find("is said for all") == std::string::npos);
  kept.keep("b.jpg", tray_with({8, 16}, std::vector<int>(128, 1)), "Rowan 12", "2026-03-01", "2026-03-13");
  CHECK(kept.page_about(season).find("is said for all 2 trays sown that day") != std::string::npos);
}

TEST_CASE("where lot says to count again first, so does the page beside what to sow next") {
  Kept kept;
  const Tray tray = tray_with({6, 12}, std::vector<int>(72, 1));
  kept.keep("a.jpg", tray, "Rowan 12");
  const std::string note = "Note: count again first: more may come up until about day 10";
  CHECK(kept.page_about({{}, "Rowan 12", {}, {}}).find(note) != std::string::npos);
  kept.keep("a.jpg", tray, "Rowan 12", "2026-04-02", "2026-04-20T09:00:00");
  CHECK(kept.page_about({{}, "Rowan 12", {}, {}}).find("count again first") == std::string::npos);
}

TEST_CASE("a lone tray's lot and the tray are both named, once each") {
  Kept kept;
  Tray tray = tray_with({6, 12}, std::vector<int>(72, 1));
  tray.label = TrayLabel{"K7", {}, {}, {}, {}, {}};
  kept.keep("a.jpg", tray, "Rowan 12");
  CHECK(kept.page_about({{}, "Rowan 12", {}, {}}).find("<p class=\"about\">Tray K7 · ") != std::string::npos);
  CHECK(kept.page_about({"K7", {}, {}, {}}).find("<p class=\"about\">Lot Rowan 12 · ") != std::string::npos);
}

TEST_CASE("a lot without a tray has nothing counted yet, and isn't asked for its seeds a cell") {
  Kept kept;
  kept.say("note", {"Gull 1", "--stated", "92"});
  CHECK(kept.say("lot", {"Gull 1"}).out.find("nothing counted yet") != std::string::npos);
  CHECK(kept.page_about({{}, "Gull 1", {}, {}}).find("Nothing counted yet.") != std::string::npos);
}

TEST_CASE("what a report can be about") {
  Kept kept;
  kept.keep("a.jpg", tray_with({6, 12}, std::vector<int>(72, 1)), "Rowan 12", "2026-03-03",
            "2026-03-12T09:00:00");
  kept.keep("b.jpg", tray_with({6, 12}, std::vector<int>(72, 2)), "Rowan 12");
  kept.keep("c.jpg", tray_with({2, 2}, {0, 0, 0, 0}), "Heron 2");
  PhotoShelf shelf;
  CHECK(gather(kept.ledger, {}, shelf).lots.size() == 2);
  CHECK(gather(kept.ledger, {{}, "rowan 12", {}, {}}, shelf).lots[0].sowings.size() == 2);
  const Report sowing = gather(kept.ledger, {{}, "Rowan 12", "2026-03-03", {}}, shelf);
  REQUIRE(sowing.lots[0].sowings.size() == 1);
  CHECK(sowing.lots[0].sowings[0].trays[0].name == "a.jpg");
  CHECK(gather(kept.ledger, {"b.jpg", {}, {}, {}}, shelf).title == "Tray in b.jpg");
  CHECK_THROWS_WITH(gather(kept.ledger, {{}, "Rowan 12", "2026-03-04", {}}, shelf),
                    "the ledger knows no sowing of lot Rowan 12 on 2026-03-04");
  for (const std::vector<std::string>& nonsense : {std::vector<std::string>{"nobody.jpg"},
                                                   {"b.jpg", "--lot", "Rowan 12"},
                                                   {"--sown", "2026-03-03"},
                                                   {"b.jpg", "--crop", "kale"},
                                                   {"b.jpg", "--since", "2026-03-01"},
                                                   {"b.jpg", "--until", "2026-03-31"},
                                                   {"--lot", "Rowan 12", "--crop", "kale"},
                                                   {"--lot", "Rowan 12", "--sown", "March"}})
    CHECK(kept.say("report", nonsense).code == ExitCode::usage);
  const std::string out = (kept.folder.path / "page.html").string();
  CHECK(kept.say("report", {"--crop", "kale", "--out", out}).out == out + ": The season\n");
  CHECK(kept.say("report", {"--out", "/nowhere/page.html"}).code == ExitCode::trouble);
}

TEST_CASE("photos are found again by content, cut to the tray and to the room") {
  Kept kept;
  Census census;
  Tray tray = tray_with({6, 12}, std::vector<int>(72, 1));
  const std::string place = (kept.folder.path / "p.jpg").string();
  std::filesystem::copy(kPhoto, place);
  census.photo = {place, 2400, 1800, {}};
  census.trays = {tray};
  ledger::keep(kept.ledger, ledger::content_hash(place), census, {"Rowan 12", {}, {}, false});
  const auto only_tray = [&](PhotoShelf shelf) {
    return gather(kept.ledger, {}, shelf).lots[0].sowings[0].trays[0];
  };
  const TrayReport large = only_tray({});
  REQUIRE(large.photo);
  CHECK(std::abs(large.photo->origin.x - (100 - 55)) <= 1);
  CHECK(std::abs(large.photo->width - (11 * 50 + 2 * 55)) <= 2);
  const TrayReport small = only_tray({true, 20'000});
  CHECK(small.photo->jpeg.size() <= 20'000);
  CHECK(small.photo->scale < large.photo->scale);
  const cv::Mat pixels = vision::kJpeg.decode(
      {reinterpret_cast<const unsigned char*>(small.photo->jpeg.data()), small.photo->jpeg.size()},
      {small.photo->width, small.photo->height, 1, {}}, 1);
  CHECK(pixels.cols == small.photo->width);
  CHECK(only_tray({false}).why_no_photo == "Photos were left out of this page.");
  const std::filesystem::path moved = kept.folder.path / "moved";
  std::filesystem::create_directory(moved);
  std::filesystem::rename(place, moved / "p.jpg");
  CHECK(only_tray({}).why_no_photo ==
        "The photo p.jpg is not where it was when it was counted, so it is not shown.");
  CHECK(only_tray({true, 100'000, moved}).photo);
  std::ofstream(place) << "another";
  CHECK(only_tray({}).why_no_photo == "p.jpg is no longer the photo that was counted, so it is not shown.");
}

TEST_CASE("what was noted of a photo stands on the page, but for where another numbering started") {
  Kept kept;
  Census census;
  census.photo = {kept.file("a.jpg", "photo"), 1000, 800, {}};
  census.trays = {half_turned(tray_with({6, 12}, std::vector<int>(72, 1)))};
  census.remarks = {"a tray is cut off by the left edge of the photo and was not counted",
                    "row 1, column 1 is the corner nearest to the photo's upper left",
                    std::string(cli::kNothingSeen)};  // of another tray, or when first read
  ledger::keep(kept.ledger, ledger::content_hash(census.photo.file), census, {"Rowan 12", {}, {}, false});
  const std::string html = kept.page_about({});
  CHECK(html.find("Note: " + census.remarks[0]) != std::string::npos);
  CHECK(html.find("photo&#39;s upper left") == std::string::npos);
  CHECK(html.find("nothing was seen") == std::string::npos);
  CHECK(html.find("Note: row 1, column 1 is the corner nearest to the photo&#39;s lower right, "
                  "and on the map the one where rows and columns start") != std::string::npos);
}

TEST_CASE("pictures are files of their own, under names that any system takes") {
  Kept kept;
  const std::string made = (kept.folder.path / "pictures").string();
  kept.keep("a.jpg", tray_with({6, 12}, std::vector<int>(72, 1)), "../Rowan/12 <b>");
  PhotoShelf shelf;
  const auto written = write_pictures(gather(kept.ledger, {}, shelf), made);
  REQUIRE(written.size() == 2);
  CHECK(written[0].filename() == "a-map.svg");
  CHECK(written[1].filename() == "---Rowan-12--b--2026-04-02-counts.svg");
  const std::string map = standalone_svg(tray_map(shown(tray_with({2, 2}, {0, 1, 2, 3}))));
  CHECK(map.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\""));
  CHECK(map.find("var(") == std::string::npos);
  CHECK(is_well_formed(map));
  CHECK_THROWS(write_pictures(Report(), "/proc/nowhere"));
}

TEST_CASE("a season of very many trays is shown without them") {
  Kept kept;
  for (int at = 0; at < 251; ++at)
    kept.keep(std::to_string(at) + ".jpg", tray_with({2, 2}, {1, 1, at % 2, 0}),
              at % 2 ? "Rowan 12" : "Heron 2");
  const std::string html = kept.page_about({});
  CHECK(html.find("So many trays are too much for one page") != std::string::npos);
  CHECK(html.find("class=\"map\"") == std::string::npos);
  CHECK(html.size() < 100'000);
  CHECK(count_of(kept.page_about({{}, "Rowan 12", {}, {}}), "class=\"map\"") == 125);
}

TEST_CASE("a ledger without a count still gives a page") {
  Kept kept;
  CHECK(kept.page_about({}).find("The ledger holds no such count yet.") != std::string::npos);
  kept.say("note", {"Rowan 12", "--crop", "kale"});
  CHECK(kept.page_about({}).find("Lot Rowan 12") != std::string::npos);
  CHECK(kept.page_about({{}, "Rowan 12", {}, {}}).find("Lot Rowan 12") != std::string::npos);
  Tray unknown = tray_with({2, 2}, {0, 1, 2, 3});
  unknown.seeds_per_cell.reset();
  unknown.crop.reset();
  kept.keep("u.jpg", unknown, "Unknown", "");
  CHECK(kept.page_about({"u.jpg", {}, {}, {}}).find("not known; tell the seeds a cell") != std::string::npos);
}
