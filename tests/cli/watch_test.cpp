// SPDX-License-Identifier: Apache-2.0
// A folder that a phone's sync drops photos into, byte by byte.
#include <doctest/doctest.h>
#include <signal.h>
#include <unistd.h>

#include <filesystem>
#include <future>
#include <nlohmann/json.hpp>
#include <thread>

#include "cli/folder_watch.h"
#include "tests/cli/bench.h"

using namespace braird;
using namespace braird::test;
using namespace std::chrono_literals;
using cli::ExitCode;

namespace fs = std::filesystem;

namespace {

std::string sample_bytes() {
  std::ifstream in(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/plug-128-brassica.jpg",
                   std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

/// A folder to watch, with a ledger and a page beside it.
struct Shed : Bench {
  fs::path arrivals = folder.path / "arrivals";
  std::string ledger = (folder.path / "l.sqlite").string(), page = (folder.path / "page.html").string();
  Shed() { fs::create_directory(arrivals); }

  fs::path drop(const std::string& name, const std::string& bytes) const {
    std::ofstream(arrivals / name, std::ios::binary) << bytes;
    return arrivals / name;
  }
  std::vector<std::string> command(std::vector<std::string> more) const {
    std::vector<std::string> all = {arrivals.string(), "--ledger", ledger,      "--report", page, "--tray",
                                    "plug-128",        "--crop",   "kale",      "--seeds",  "1",  "--lot",
                                    "Rowan 12",        "--sown",   "2026-04-02"};
    all.insert(all.end(), more.begin(), more.end());
    return all;
  }
  int trays() const {
    const Said said = said_by("lots", {"--json", "--ledger", ledger});
    return said.out.empty() ? 0 : nlohmann::json::parse(said.out)["trays"].get<int>();
  }
};

template <typename Holds>
bool comes_true(Holds holds) {
  for (int tries = 0; tries < 600; ++tries, std::this_thread::sleep_for(100ms))
    if (holds()) return true;
  return false;
}

}  // namespace

TEST_CASE("what is a photo by its name") {
  for (const char* photo : {"a.jpg", "IMG_1.JPEG", "b.webp", "c.TIF", "d.heic"})
    CHECK(cli::named_like_photo(photo));
  for (const char* other : {".a.jpg", "a.jpg.part", ".arriving.a.jpg.tmp", "notes.txt", "jpg", ""})
    CHECK_FALSE(cli::named_like_photo(other));
}

TEST_CASE("a photo is handed out once, when it is complete") {
  const Shed shed;
  cli::FolderWatch watch{shed.arrivals};
  const std::string whole = sample_bytes();
  auto now = cli::Clock::time_point();
  const auto looked_after = [&](std::chrono::milliseconds pause) {
    now += pause;
    return photos_to_count(watch, now);
  };
  const fs::path photo = shed.drop("a.jpg", whole.substr(0, 1000));
  shed.drop("notes.txt", "no photo");
  CHECK(looked_after(0s).empty());
  CHECK(looked_after(2s).empty());  // still, but cut off
  shed.drop("a.jpg", whole.substr(0, 50'000));
  CHECK(looked_after(0s).empty());
  CHECK(looked_after(2s).empty());
  shed.drop("a.jpg", whole);
  CHECK(looked_after(1s).empty());  // may still grow
  CHECK(looked_after(2s) == std::vector{photo});
  CHECK(looked_after(2s).empty());
  shed.drop("a.jpg", whole + " ");  // another photo under the same name
  CHECK(looked_after(0s).empty());
  CHECK(looked_after(2s) == std::vector{photo});
}

TEST_CASE("a photo that never gets whole is given up after a while, and tried again when it changes") {
  const Shed shed;
  cli::FolderWatch watch{shed.arrivals};
  auto now = cli::Clock::time_point();
  const fs::path stub = shed.drop("a.jpg", sample_bytes().substr(0, 5000));
  shed.drop("empty.jpg", "");
  CHECK(photos_to_count(watch, now).empty());
  CHECK(photos_to_count(watch, now += 59s).empty());
  CHECK(photos_to_count(watch, now += 1s) == std::vector{stub});  // whoever counts it says what is wrong
  CHECK(photos_to_count(watch, now += 100s).empty());
  shed.drop("a.jpg", sample_bytes());
  CHECK(photos_to_count(watch, now += 1s).empty());
  CHECK(photos_to_count(watch, now += 2s) == std::vector{stub});
  cli::FolderWatch nowhere{shed.folder.path / "nowhere"};
  CHECK_THROWS_AS(photos_to_count(nowhere, now), std::runtime_error);
}

TEST_CASE("--once counts what lies there, says in a sentence what can't be counted, and ends") {
  const Shed shed;
  shed.drop("a.jpg", sample_bytes());
  shed.drop("copy of a.jpg", sample_bytes());
  shed.drop("half.jpg", sample_bytes().substr(0, 5000));
  const Said said = said_by("watch", shed.command({"--once"}));
  CHECK(said.code == ExitCode::not_all_done);
  const std::string photo = "braird: " + (shed.arrivals / "a.jpg").string();
  CHECK(said.out.starts_with(photo + ": kept in lot Rowan 12\n"));
  CHECK(said.out.find(photo + ": row 1, column 1 is the corner nearest to the photo's upper left\n") !=
        std::string::npos);
  CHECK(said.err.starts_with("braird: " + (shed.arrivals / "half.jpg").string() + ": "));
  CHECK(std::ranges::count(said.err, '\n') == 1);
  CHECK(shed.trays() == 1);
  CHECK(fs::file_size(shed.page) > 100'000);
  fs::remove(shed.arrivals / "half.jpg");
  const Said again = said_by("watch", shed.command({"--once"}));
  CHECK(again.code == ExitCode::ok);
  CHECK(again.out.empty());
  CHECK(said_by("watch", {(shed.folder.path / "nowhere").string(), "--ledger", shed.ledger}).code ==
        ExitCode::trouble);
  CHECK(said_by("watch", shed.command({"--every", "0"})).code == ExitCode::usage);
}

TEST_CASE("watching goes on until it is asked to end, and follows hand counts too") {
  const Shed shed;
  auto watching = std::async(std::launch::async, [&] {
    return said_by("watch", shed.command({"--every", "0.1"}));
  });
  REQUIRE(comes_true([&] { return fs::exists(shed.page); }));
  const std::string whole = sample_bytes();
  shed.drop("a.jpg", whole.substr(0, whole.size() / 2));
  std::this_thread::sleep_for(300ms);
  shed.drop("a.jpg", whole);
  CHECK(comes_true([&] { return shed.trays() == 1; }));
  const auto page = [&] {
    std::ifstream in(shed.page);
    return std::string(std::istreambuf_iterator<char>(in), {});
  };
  CHECK(comes_true([&] { return page().find("Tray in a.jpg") != std::string::npos; }));
  const std::string table = shed.file("c.csv", "tray,row,col,count\na.jpg,1,1,3\n");
  CHECK(said_by("check", {"--counts", table, "--ledger", shed.ledger}).code == ExitCode::ok);
  CHECK(comes_true([&] { return page().find("1 cell was checked by hand.") != std::string::npos; }));
  kill(getpid(), SIGTERM);
  const Said said = watching.get();
  CHECK(said.code == ExitCode::ok);
  CHECK(said.out.find("kept in lot Rowan 12") != std::string::npos);
}
