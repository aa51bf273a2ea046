// SPDX-License-Identifier: Apache-2.0
// A page of what was just counted, with no ledger.
#include <doctest/doctest.h>

#include <filesystem>

#include "tests/cli/bench.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;

namespace fs = std::filesystem;

namespace {

std::string sample(const std::string& name) {
  return (fs::path(BRAIRD_SOURCE_DIR) / "samples" / "photos" / name).string() + ".jpg";
}

std::string text_of(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

TEST_CASE("count --page writes a photo's page and keeps nothing") {
  const Bench bench;
  const fs::path page = bench.folder.path / "page.html", ledger = bench.folder.path / "l.sqlite";
  setenv("BRAIRD_LEDGER", ledger.c_str(), 1);
  const Said said = said_by("count", {sample("../photos/plug-128-brassica"), "--tray", "plug-128", "--crop",
                                      "kale", "--seeds", "1", "--page", page.string()});
  unsetenv("BRAIRD_LEDGER");
  CHECK(said.code == ExitCode::ok);
  CHECK(said.out.find("128 cells") != std::string::npos);
  CHECK(said.err.find("page.html: ") != std::string::npos);
  CHECK_FALSE(fs::exists(ledger));
  const std::string html = text_of(page);
  CHECK(html.find("data:image/jpeg") != std::string::npos);
  CHECK(html.find("row 3 column 7, ") != std::string::npos);
  CHECK(html.find("kale") != std::string::npos);
}

TEST_CASE("count --page of several photos shows each tray") {
  const Bench bench;
  const fs::path page = bench.folder.path / "page.html";
  const Said both = said_by(
      "count", {sample("plug-128-brassica"), sample("paper-chain-264-beet"), "--page", page.string()});
  CHECK(both.code == ExitCode::ok);
  CHECK(text_of(page).find("plug-128-brassica") != std::string::npos);
  CHECK(text_of(page).find("paper-chain-264-beet") != std::string::npos);
  CHECK(text_of(page).find("<title>2 photos counted</title>") != std::string::npos);
  const Said seeds =
      said_by("count", {sample("plug-128-brassica"), "--of", "seeds", "--page", page.string()});
  CHECK(seeds.err.find("--page shows seedlings only; count seeds without it") != std::string::npos);
}

TEST_CASE(
    "count --page shows photos that could not be counted, and why; of those that can't be read, writes "
    "nothing") {
  const Bench bench;
  const fs::path page = bench.folder.path / "page.html";
  const Said said = said_by("count", {sample("bench-without-tray"), sample("plug-128-brassica"), "--tray",
                                      "22x12", "--lattice", "staggered", "--page", page.string()});
  CHECK(said.code == ExitCode::not_all_done);
  const std::string html = text_of(page);
  CHECK(html.find("<title>2 photos not counted</title>") != std::string::npos);
  CHECK(html.find("<p>no tray seen; photograph") != std::string::npos);
  CHECK(html.find("bench-without-tray.jpg</h3>") != std::string::npos);
  CHECK(html.find("name=\"tray\" value=\"22x12\"") != std::string::npos);
  CHECK(html.find("name=\"staggered\" checked") != std::string::npos);
  fs::remove(page);
  const std::string broken = bench.folder.write("broken.jpg", "no photo");
  CHECK(said_by("count", {broken, "--page", page.string()}).code == ExitCode::not_all_done);
  CHECK_FALSE(fs::exists(page));
}
