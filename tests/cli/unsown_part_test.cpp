// SPDX-License-Identifier: Apache-2.0
// A tray of which only a part was sown: lines left bare are no gaps, and what was sown can be counted alone.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "cli/text/unsown_remark.h"
#include "tests/cli/bench.h"
#include "vision/photo.h"

using namespace braird;
using namespace braird::cli;
using namespace braird::test;

namespace {

const std::vector<std::string> kTold{"count", "--tray", "8x16", "--crop", "kale", "--seeds", "1"};

Said count(const std::vector<std::string>& more) {
  std::vector<std::string> words = kTold;
  words.insert(words.end(), more.begin(), more.end());
  return said_on(words);
}

/// The sample photo with the medium of an empty cell laid over the last six columns.
cv::Mat with_bare_columns() {
  cv::Mat bgr = vision::load_photo(kPhoto).bgr.clone();
  const auto tray = nlohmann::json::parse(count({"--json", kPhoto}).out)["trays"][0];
  const int half = static_cast<int>(0.45 * tray["pitch_px"].get<double>());
  const auto around = [&](const nlohmann::json& cell) {
    return cv::Rect(cell["x"].get<int>() - half, cell["y"].get<int>() - half, 2 * half, 2 * half);
  };
  cv::Mat bare;
  for (const auto& cell : tray["cells"])
    if (cell["probability"][0] > 0.9 && bare.empty()) bare = bgr(around(cell)).clone();
  for (const auto& cell : tray["cells"])
    if (cell["col"] >= 10) bare.copyTo(bgr(around(cell)));
  return bgr;
}

/// What follows `mark` in a text, up to the end of its line, word by word.
std::vector<std::string> words_after(const std::string& text, const std::string& mark) {
  const std::size_t at = text.find(mark);
  REQUIRE(at != std::string::npos);
  std::istringstream line(text.substr(at + mark.size(), text.find('\n', at) - at - mark.size()));
  std::vector<std::string> words;
  for (std::string word; line >> word;) words.push_back(word);
  return words;
}

Tray half_sown() {
  Tray tray;
  tray.layout = {4, 8, LatticeKind::staggered};
  for (int row = 0; row < 4; ++row)
    for (int col = 0; col < 8; ++col)
      tray.cells.push_back({row, col, {100.0 * col, 90.0 * row}, col >= 3 ? 1 : 0, {}, false});
  return tray;
}

}  // namespace

TEST_CASE("bare columns at a side are told, with the options that count the rest") {
  const Bench bench;
  const std::string photo = bench.file("half.png", png_bytes(with_bare_columns()));
  const Said whole = count({photo});
  REQUIRE(whole.code == cli::ExitCode::ok);
  CHECK(
      whole.out.find(
          "columns 11 to 16 of the tray hold next to nothing; if they were left unsown, they are no gaps") !=
      std::string::npos);
  std::vector<std::string> options = words_after(whole.out, "count the sown part alone, with ");
  options.insert(options.begin(), {"count", "--crop", "kale", "--seeds", "1", photo});
  const Said part = said_on(options);
  REQUIRE(part.code == cli::ExitCode::ok);
  CHECK(part.out.find("8 x 10 cells") != std::string::npos);
  CHECK(part.out.find("left unsown") == std::string::npos);
}

TEST_CASE("what is said of a part left unsown") {
  Tray tray = half_sown();
  CHECK(unsown_remark(tray, "tray 2") ==
        "columns 1 to 3 of tray 2 hold next to nothing; if they were left unsown, they are no gaps: count "
        "the sown part "
        "alone, with --tray 4x5 --lattice staggered --corners 300,0 700,0 700,270 300,270");
  tray.label = TrayLabel{};  // a label's shape would go before --tray
  CHECK(unsown_remark(tray, "the tray").ends_with("they are no gaps, and the rates don't hold"));
  for (Cell& cell : tray.cells) cell.count = 1;
  CHECK(unsown_remark(tray, "the tray").empty());
}
