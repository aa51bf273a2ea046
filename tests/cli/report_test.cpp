// SPDX-License-Identifier: Apache-2.0
// The report's parts as strings, and the whole from a ledger; how it behaves in a browser is for
// page/page_test.py.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <numeric>
#include <regex>

#include "calibration/ledger/keep.h"
#include "cli/report/gather.h"
#include "cli/report/html.h"
#include "cli/report/marks.h"
#include "cli/report/page.h"
#include "cli/report/picture_files.h"
#include "cli/report/plots.h"
#include "cli/report/tray_map.h"
#include "tests/cli/bench.h"
#include "vision/codecs/codec.h"
#include "vision/photo.h"

using namespace braird;
using namespace braird::report;
using namespace braird::test;
using cli::ExitCode;

namespace {

const std::string kHostile = "<script>alert('1')</script> & \"Söhne\"";

/// A tray with these counts, row by row, its cells 50 px apart.
Tray tray_with(Layout layout, std::vector<int> counts) {
  Tray tray;
  tray.layout = layout;
  tray.pitch_px = 50;
  tray.fit = 1;
  tray.crop = "kale";
  tray.seeds_per_cell = 1;
  for (int at = 0; at < layout.rows * layout.cols; ++at) {
    const int row = at / layout.cols, col = at % layout.cols;
    const double shift = layout.lattice == LatticeKind::staggered ? 25. * (row % 2) : 0;
    Cell cell{row, col,  {100 + 50. * col + shift, 100 + 50. * row}, counts[static_cast<std::size_t>(at)],
              {},  false};
    cell.probability.assign(static_cast<std::size_t>(cell.count) + 1, 0);
    cell.probability.back() = 1;
    tray.cells.push_back(cell);
  }
  const int last = layout.cols - 1;
  const auto centre = [&](int row, int col) { return cell_at(tray, row, col).centre_px; };
  tray.corners_px = {centre(0, 0), centre(0, last), centre(layout.rows - 1, last),
                     centre(layout.rows - 1, 0)};
  return tray;
}

TrayReport shown(Tray tray) {
  TrayReport report;
  report.id = "t1";
  report.name = "K7";
  report.tray = std::move(tray);
  report.evidence = weigh(report.tray, nullptr, std::nullopt);
  return report;
}

/// A ledger in a folder that goes away.
struct Kept : Bench {
  std::filesystem::path place = folder.path / "l.sqlite";
  ledger::Ledger ledger{place, ledger::Access::write};

  std::string keep(const std::string& name, Tray tray, const std::string& lot,
                   const std::string& sown_on = "2026-04-02",
                   const std::string& taken = "2026-04-09T09:00:00") {
    const std::string photo = file(name, "photo " + name);
    Census census;
    census.photo = {photo, 1000, 800, taken};
    census.trays = {std::move(tray)};
    ledger::keep(ledger, ledger::content_hash(photo), census, {lot, sown_on, {}, false});
    return photo;
  }

  Said say(const std::string& command, std::vector<std::string> arguments) const {
    arguments.insert(arguments.end(), {"--ledger", place.string()});
    return said_by(command, std::move(arguments));
  }

  std::string page_about(const Subject& subject) {
    PhotoShelf shelf;
    Report report = gather(ledger, subject, shelf);
    report.made_on = "2026-04-10";
    report.version = "0";
    return page(report);
  }
};

/// Every tag closed in turn: what a strict reader of XML asks first. Void HTML elements must have been taken
/// out.
bool is_well_formed(const std::string& xml) {
  std::vector<std::string> open;
  const std::regex tag("<(/?)([A-Za-z][A-Za-z0-9:]*)((?:\\s+[-A-Za-z:]+=\"[^\"<]*\")*)\\s*(/?)>|<");
  for (auto at = std::sregex_iterator(xml.begin(), xml.end(), tag); at != std::sregex_iterator(); ++at) {
    const std::smatch& found = *at;
    if (found[2].length() == 0) return false;  // a bare "<"
    if (found[4].length() > 0) continue;
    if (found[1].length() == 0) {
      open.push_back(found[2]);
    } else {
      if (open.empty() || open.back() != found[2]) return false;
      open.pop_back();
    }
  }
  return open.empty();
}

int count_of(const std::string& text, const std::string& part) {
  int many = 0;
  for (std::size_t at = 0; (at = text.find(part, at)) != std::string::npos; at += part.size()) ++many;
  return many;
}

}  // namespace

TEST_CASE("text is defused, and broken bytes are replaced") {
  CHECK(escaped("a < b & \"c\" 'd' > e") == "a &lt; b &amp; &quot;c&quot; &#39;d&#39; &gt; e");
  CHECK(escaped("Söhne ✓ 🌱") == "Söhne ✓ 🌱");
  const std::string gone = "\xEF\xBF\xBD";
  // Malformed by the table in RFC 3629, section 4: overlong, a surrogate, beyond U+10FFFF, cut off, a lone
  // tail byte.
  for (const char* bad :
       {"\xC0\xBC", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xE2\x82", "\x80", "\xFF", "\x01", "\x7F"}) {
    CAPTURE(std::string(bad).size());
    const std::string safe = escaped(std::string("a") + bad);
    CHECK(safe.starts_with("a" + gone));
    CHECK(safe.find(bad) == std::string::npos);
  }
}

TEST_CASE("base64 as in RFC 4648, section 10") {
  for (const auto& [bytes, text] : {std::pair("", ""),
                                    {"f", "Zg=="},
                                    {"fo", "Zm8="},
                                    {"foo", "Zm9v"},
                                    {"foob", "Zm9vYg=="},
                                    {"fooba", "Zm9vYmE="},
                                    {"foobar", "Zm9vYmFy"}})
    CHECK(base64(bytes) == text);
}

TEST_CASE("a cell is said in words") {
  Tray tray = tray_with({3, 7}, std::vector<int>(21, 0));
  tray.cells[20].count = 2;
  tray.cells[20].review = true;
  tray.cells[0].count = 40;
  CHECK(cell_words(tray, 20, false) == "row 3 column 7, two seedlings, look again");
  CHECK(cell_words(tray, 0, true) == "row 1 column 1, 40 seedlings, checked by hand");
  CHECK(cell_words(tray, 1, false) == "row 1 column 2, empty");
}

TEST_CASE("the map is drawn as the tray is") {
  const std::string square = tray_map(shown(tray_with({2, 3}, {0, 1, 2, 3, 4, 13})));
  CHECK(is_well_formed(square));
  CHECK(count_of(square, "role=\"gridcell\"") == 6);
  CHECK(count_of(square, "role=\"row\"") == 2);
  CHECK(count_of(square, "href=\"#w4\"") == 6);
  CHECK(count_of(square, "href=\"#n12\"") == 1);  // thirteen look like twelve, and are said
  CHECK(count_of(square, "tabindex") == 1);
  const auto x_of_second_row = [](const std::string& map) {
    std::smatch found;
    REQUIRE(std::regex_search(map, found, std::regex("row 2 column 1,[^>]*translate\\(([0-9]+)")));
    return std::stoi(found[1]);
  };
  Tray staggered = tray_with({3, 3, LatticeKind::staggered}, std::vector<int>(9, 1));
  const std::string right = tray_map(shown(staggered));
  CHECK(count_of(right, "href=\"#w6\"") == 9);
  CHECK(x_of_second_row(right) == x_of_second_row(square) + 10);  // half a pitch
  for (Cell& cell : staggered.cells)
    if (cell.row == 1) cell.centre_px.x -= 50;
  CHECK(x_of_second_row(tray_map(shown(staggered))) == x_of_second_row(square));  // row 1 gives way instead
}

TEST_CASE("findings stand on the map with their numbers") {
  std::vector<int> counts(60, 1);
  for (std::size_t row = 0; row < 6; ++row) counts[row * 10 + 3] = 0;  // a column without a plant
  TrayReport tray = shown(tray_with({6, 10}, counts));
  tray.findings = find_patterns(tray_map(tray.tray, 1, "K7"));
  REQUIRE_FALSE(tray.findings.empty());
  CHECK(tray.findings[0].cells == std::vector<int>{3, 13, 23, 33, 43, 53});
  const std::string map = tray_map(tray);
  CHECK(count_of(map, "class=\"badge\"") == std::ssize(tray.findings));
  CHECK(legend(tray).find("stands out") != std::string::npos);
}

TEST_CASE("figures say in words what they show") {
  CHECK(rate_bar("Gaps", {.18, .12, .26, ""}).find("Gaps: 18 %, 95 % interval 12 to 26 %") !=
        std::string::npos);
  CHECK(rate_bar("G", {1.43, 1.2, 1.6, ""}).find("1.43 a seed, 95 % interval 1.20 to 1.60") !=
        std::string::npos);
  const CountSpread spread = count_spread({0, 1, 1, 2}, 2);  // four of eight seeds: a fair coin thrown twice
  CHECK(spread.cells == std::vector<int>{1, 2, 1});
  for (std::size_t k = 0; k < 3; ++k) CHECK(spread.by_chance[k] == doctest::Approx(k == 1 ? 2 : 1));
  const CountSpread doubles = count_spread({3, 1}, 1);  // more seedlings than seeds
  CHECK(doubles.cells == std::vector<int>{0, 1, 0, 1});
  CHECK(std::accumulate(doubles.by_chance.begin(), doubles.by_chance.end(), 0.) == doctest::Approx(2));
  CHECK(spread_plot(spread).find("1 with 0 (by chance 1); 2 with 1 (by chance 2)") != std::string::npos);
  CHECK(spread_plot({{2, 1}, {}}).find("chance") == std::string::npos);
  const std::string course = course_plot({72, {5.4, 6.4, 7.4, 9.4}, {8, 21, 39, 50}});
  CHECK(course.find("8 on day 5.4, 21 on day 6.4") != std::string::npos);
  CHECK(course.find("class=\"fit\"") != std::string::npos);
  CHECK(course_plot({72, {5}, {9}}).find("class=\"fit\"") == std::string::npos);
  for (const std::string& figure :
       {spread_plot(spread), course, trend_plot({{"2026-03-03", {.9, .8, .95, ""}}}, {{.75, "law"}})})
    CHECK(is_well_formed(figure));
}

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
  CHECK(html.find("<b>" + rate_words(*lots[0].germination) + "</b>") != std::string::npos);
  for (const std::string& suspicion : lots[0].suspicions)
    CHECK(html.find(escaped(suspicion)) != std::string::npos);
  CHECK(html.find("The photo a.jpg could not be read again") != std::string::npos);  // it is no photo
  const std::string main = html.substr(html.find("<main"), html.find("</main>") + 7 - html.find("<main"));
  CHECK(is_well_formed(std::regex_replace(main, std::regex("<br>"), "")));
  CHECK(html.find("http") == html.find("http-equiv"));  // no address at all
  CHECK(count_of(html, "http") == 2);                   // beside that, an SVG's name space in the program
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
                                                   {"--lot", "Rowan 12", "--sown", "March"}})
    CHECK(kept.say("report", nonsense).code == ExitCode::usage);
  const std::string out = (kept.folder.path / "page.html").string();
  CHECK(kept.say("report", {"--crop", "leek", "--out", out}).out == out + ": The season\n");
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

TEST_CASE("corrections find the photo they were made for, though the tray was photographed again") {
  Kept kept;
  Tray tray = tray_with({2, 3}, {1, 1, 1, 1, 0, 0});
  tray.label = TrayLabel{"K7", "Rowan 12", "kale", "2026-04-02", 1, {}};
  kept.keep("a.jpg", tray, "Rowan 12");
  PhotoShelf shelf;
  const TrayReport before = gather(kept.ledger, {"K7", {}, {}, {}}, shelf).lots[0].sowings[0].trays[0];
  kept.keep("b.jpg", tray, "Rowan 12", "2026-04-02", "2026-04-12T09:00:00");
  const std::string table =
      kept.file("c.csv", "tray,photo,row,col,count,drawn\nK7," + before.key + ",2,2,1,no\n");
  const Said said = kept.say("check", {"--counts", table});
  CAPTURE(said.err);
  CHECK(said.out.starts_with("tray K7 (a.jpg): 1 hand count noted\n"));
  const TrayReport first = gather(kept.ledger, {"a.jpg", {}, {}, {}}, shelf).lots[0].sowings[0].trays[0];
  CHECK(first.hand.size() == 1);
  CHECK(first.evidence.summary.empty == 1);
  CHECK(first.rates.gaps->estimate == doctest::Approx(1 / 6.));
  CHECK(gather(kept.ledger, {"K7", {}, {}, {}}, shelf).lots[0].sowings[0].trays[0].hand.empty());
  for (const auto& [content, fault] :
       {std::pair<std::string, const char*>{"row,col,count,drawn\n1,1,1,maybe\n",
                                            "line 2: drawn must be yes or no"},
        {"photo,row,col,count\n0123,1,1,1\n", "knows no counted photo 0123"},
        {"photo,row,col,count\n" + before.key + "-2,1,1,1\n", "knows no counted photo"},
        {"row,col,count\n", "holds no counts"}}) {
    const Said refused = kept.say("check", {"--counts", kept.file("bad.csv", content)});
    CHECK(refused.code == ExitCode::usage);
    CHECK(refused.err.find(fault) != std::string::npos);
  }
  // A bad line keeps the good ones out too.
  const Said half = kept.say(
      "check", {"--counts", kept.file("half.csv", "tray,row,col,count\na.jpg,1,1,1\nb.jpg,9,9,1\n")});
  CHECK(half.code == ExitCode::usage);
  CHECK(gather(kept.ledger, {"a.jpg", {}, {}, {}}, shelf).lots[0].sowings[0].trays[0].hand.size() == 1);
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

TEST_CASE("a cell drawn at random stays so when it is counted again") {
  Kept kept;
  kept.keep("a.jpg", tray_with({2, 3}, {1, 1, 1, 1, 0, 0}), "Rowan 12");
  for (const char* drawn : {"yes", "no"})
    kept.say("check",
             {"--counts", kept.file("c.csv", std::string("row,col,count,drawn\n2,2,1,") + drawn + "\n")});
  const auto checks = ledger::find_census(kept.ledger, "a.jpg").census.checks;
  REQUIRE(checks.size() == 1);
  CHECK(checks[0].drawn);
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
