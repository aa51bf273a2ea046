// SPDX-License-Identifier: Apache-2.0
// The report's parts as strings: its text made safe, cells in words, the map and the figures.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <regex>

#include "cli/report/html.h"
#include "cli/report/marks.h"
#include "cli/report/photo_marks.h"
#include "cli/report/picture_files.h"
#include "cli/report/plots.h"
#include "cli/report/sections.h"
#include "cli/report/tray_map.h"
#include "tests/cli/reported_trays.h"

using namespace braird;
using namespace braird::report;
using namespace braird::test;

TEST_CASE("text is defused, and broken bytes are replaced") {
  CHECK(escaped("a < b & \"c\" 'd' > e") == "a &lt; b &amp; &quot;c&quot; &#39;d&#39; &gt; e");
  CHECK(escaped("Söhne ✓ 🌱") == "Söhne ✓ 🌱");
  CHECK(escaped("18 % of 3") == "18\u00a0% of 3");
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
  CHECK(count_of(square, ">row</text>") == 1);
  CHECK(count_of(square, ">column</text>") == 1);
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

TEST_CASE("rows and columns are numbered in the photo, beyond the rim where there is room") {
  TrayReport tray = shown(tray_with({3, 4}, std::vector<int>(12, 1)));  // first cell at 100, 100; pitch 50
  tray.photo = PagePhoto{"", 400, 400, {0, 0}, 1};
  const std::string beside = marked_photo(tray);
  CHECK(count_of(beside, "<text") == 3 + 4 + 2);
  CHECK(count_of(beside, ">row</text>") == 1);
  CHECK(count_of(beside, ">column</text>") == 1);
  CHECK(beside.find("<text x=\"60\" y=\"200\">3</text>") != std::string::npos);
  CHECK(beside.find("<text x=\"250\" y=\"60\">4</text>") != std::string::npos);
  tray.photo->origin = {80, 0};  // cut off beside the first column
  CHECK(marked_photo(tray).find("<text x=\"210\" y=\"200\">3</text>") != std::string::npos);
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
  tray.findings.resize(1);
  CHECK(tray_section(tray, Shown::folded).find("<em>1 thing stands out</em>") != std::string::npos);
}

TEST_CASE("figures say in words what they show") {
  CHECK(rate_bar("Gaps", {.18, .12, .26, ""}).find(escaped("Gaps: 18 %, 95 % interval 12 to 26 %")) !=
        std::string::npos);
  CHECK(rate_bar("G", {1.43, 1.2, 1.6, ""}).find(escaped("1.43 a seed, 95 % interval 1.20 to 1.60")) !=
        std::string::npos);
  const CountSpread spread = count_spread({0, 1, 1, 2}, 2);  // four of eight seeds: a fair coin thrown twice
  CHECK(spread.cells == std::vector<int>{1, 2, 1});
  for (std::size_t k = 0; k < 3; ++k) CHECK(spread.by_chance[k] == doctest::Approx(k == 1 ? 2 : 1));
  const CountSpread doubles = count_spread({3, 1}, 1);  // more seedlings than seeds
  CHECK(doubles.cells == std::vector<int>{0, 1, 0, 1});
  CHECK(std::accumulate(doubles.by_chance.begin(), doubles.by_chance.end(), 0.) == doctest::Approx(2));
  CHECK(spread_plot(spread).find("1 with 0 (by chance 1); 2 with 1 (by chance 2)") != std::string::npos);
  CHECK(spread_plot({{2, 1}, {}}).find("chance") == std::string::npos);
  const std::string course =
      course_plot({72, {5.4, 6.4, 7.4, 9.4}, {8, 21, 39, 50}}, Estimate{.8, .7, .9, ""});
  CHECK(course.find("8 on day 5.4, 21 on day 6.4") != std::string::npos);
  CHECK(count_of(course, "class=\"fit\"") == 2);  // and in the key
  CHECK(std::regex_search(course, std::regex("In the end about 5[123], 95..% interval 50 to 65\\.")));
  const std::string none_lost =
      course_plot({72, {5.4, 6.4, 7.4, 9.4}, {8, 21, 39, 50}}, Estimate{.7, .5, .9, ""});
  CHECK(none_lost.find(escaped("95 % interval 50 to 65.")) != std::string::npos);  // what is up stays up
  const std::string rising = course_plot({72, {5}, {9}}, std::nullopt);
  CHECK(count_of(rising, "class=\"fit\"") == 1);
  CHECK(rising.find("end") == rising.find("end\""));  // but for the axis' words
  const std::string alone = standalone_svg("<figure>" + course + "</figure>");
  for (const char* kept :
       {"the likeliest course", ".map { font: 9px system-ui, sans-serif; }", "seedlings up"})
    CHECK(alone.find(kept) != std::string::npos);
  for (const std::string& figure :
       {spread_plot(spread), course, trend_plot({{"2026-03-03", {.9, .8, .95, ""}}}, {{.75, "law"}})})
    CHECK(is_well_formed(figure));
}

TEST_CASE("dates below a lot's sowings never run into each other, and the latest is among them") {
  const std::regex below("x=\"([0-9.]+)\" y=\"[0-9.]+\" text-anchor=\"middle\">2026-04-([0-9]+)<");
  for (int many = 2; many <= 20; ++many) {
    std::vector<TrendPoint> sowings;
    for (int at = 1; at <= many; ++at)
      sowings.push_back({fmt::format("2026-04-{:02d}", at), {.9, .8, .95, ""}});
    const std::string plot = trend_plot(sowings, {});
    double before = -100;
    std::string latest;
    for (std::sregex_iterator date(plot.begin(), plot.end(), below), end; date != end; ++date) {
      CHECK(std::stod((*date)[1]) - before > 60);  // ten letters of 10 units, most of them 6 wide
      before = std::stod((*date)[1]);
      latest = (*date)[2];
    }
    CHECK(latest == fmt::format("{:02d}", many));
  }
}
