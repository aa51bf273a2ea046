// SPDX-License-Identifier: Apache-2.0
// The program as its own process, on files that are no photo of a tray.
#include "tests/cli/program.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <sys/resource.h>

#include <algorithm>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "tests/times.h"
#include "tests/vision/photo_files.h"

using namespace braird::test;

TEST_CASE("what cannot be counted gets one line, a failing exit, no file, little time and little memory") {
  const ScratchFolder folder;
  const cv::Mat scene = quartered_scene(640, 480);
  const std::string jpeg = jpeg_bytes(scene);
  const std::filesystem::path hopeless[] = {
      folder.path / "missing.jpg",
      folder.path,
      folder.write("text.jpg", "Sown on Friday.\n"),
      folder.write("truncated.jpg", jpeg.substr(0, jpeg.size() / 2)),
      folder.write("truncated.png", png_bytes(scene).substr(0, 2000)),
      folder.write("zero.jpg", ""),
      folder.write("dot.png", png_bytes(quartered_scene(1, 1))),
      folder.write("huge.png", png_header(30'000, 30'000)),
      folder.write("no_tray.jpg", jpeg),
  };
  for (const auto& photo : hopeless) {
    CAPTURE(photo);
    const Ran ran =
        run_program({"count", "--json", "--marked", (folder.path / "marked").string(), photo.string()});
    CHECK(ran.exit_code == 1);
    CHECK(ran.out == "");
    CHECK(ran.err.starts_with("braird: " + photo.string() + ": "));
    CHECK(std::count(ran.err.begin(), ran.err.end(), '\n') == 1);
    CHECK_FALSE(std::filesystem::exists(folder.path / "marked"));
    CHECK(ran.seconds < times(2, 20));
    CHECK(ran.peak_mb < 1500);
  }
}

TEST_CASE("the exit status tells a wrong command line from help that was asked for") {
  CHECK(run_program({}).exit_code == 2);
  CHECK(run_program({"cuont", "a.jpg"}).exit_code == 2);
  CHECK(run_program({"count"}).exit_code == 2);
  CHECK(run_program({"count", "--nonsense", "a.jpg"}).exit_code == 2);
  CHECK(run_program({"count", "--seeds", "many", "a.jpg"}).exit_code == 2);
  CHECK(run_program({"count", "--tray", "plug-1", "a.jpg"}).exit_code == 2);
  const Ran help = run_program({"count", "--help"});
  CHECK(help.exit_code == 0);
  CHECK(help.err == "");
  CHECK(help.out.find("--marked") != std::string::npos);
  CHECK(run_program({"--version"}).exit_code == 0);
}

TEST_CASE("a disk that fills up: an export leaves nothing half, and an answer that is lost is told") {
  const ScratchFolder folder;
  const std::string ledger = (folder.path / "ledger.sqlite").string(), out = (folder.path / "out").string();
  const std::string words(2000, 'x');
  for (int at = 0; at < 25; ++at)
    REQUIRE(run_program({"note", "Rowan 12", "--decided", words, "--ledger", ledger}).exit_code == 0);
  rlimit before{};
  getrlimit(RLIMIT_FSIZE, &before);
  const rlimit small{40000, before.rlim_max};
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  setrlimit(RLIMIT_FSIZE, &small);
  const Ran full = run_program({"export", out, "--ledger", ledger});
  setrlimit(RLIMIT_FSIZE, &before);
  std::signal(SIGXFSZ, handler);
  CHECK(full.exit_code == 3);
  CHECK(full.err.find("decisions.csv: cannot be written") != std::string::npos);
  CHECK(std::filesystem::is_empty(out));
  CHECK(run_program({"export", out, "--ledger", ledger}).exit_code == 0);

  const std::string err = (folder.path / "err").string();
  const int status =
      std::system(fmt::format("'{}' --version > /dev/full 2> '{}'", BRAIRD_PROGRAM, err).c_str());
  CHECK(status != 0);
  std::string told;
  std::getline(std::ifstream(err), told);
  CHECK(told == "braird: the answer cannot be written where it should go; make room there and try again");
}
