// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/doctor.h"

#include <doctest/doctest.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <opencv2/imgproc.hpp>
#include <sstream>

#include "cli/app.h"
#include "cli/machine_check.h"
#include "tests/cli/program.h"
#include "tests/vision/photo_files.h"
#include "vision/photo.h"

using namespace braird::cli;
using braird::test::ScratchFolder;

namespace fs = std::filesystem;

TEST_CASE("a sound computer lacks nothing: formats are read, networks answer") {
  CHECK(photo_formats().good);
  CHECK(photo_formats().words.starts_with("JPEG, PNG, WebP and TIFF"));
  CHECK(networks().good);
}

TEST_CASE("a ledger is good where it can be made, read and written, and looking makes none") {
  const ScratchFolder folder;
  const fs::path place = folder.path / "new" / "ledger.sqlite";
  CHECK(ledger_condition(place).good);
  CHECK(ledger_condition(place).words.ends_with("made at the first --keep"));
  CHECK_FALSE(fs::exists(folder.path / "new"));
  CHECK_FALSE(ledger_condition(folder.write("not.sqlite", "Sown on Friday.\n")).good);
}

TEST_CASE("a ledger or folder without rights is named") {
  if (geteuid() == 0) {
    MESSAGE("skipped: root may write everywhere");
    return;
  }
  const ScratchFolder folder;
  fs::permissions(folder.path, fs::perms::owner_read | fs::perms::owner_exec);
  const Condition found = ledger_condition(folder.path / "ledger.sqlite");
  fs::permissions(folder.path, fs::perms::owner_all);
  CHECK_FALSE(found.good);
  CHECK(found.words.find(folder.path.string()) != std::string::npos);
}

TEST_CASE("a ledger that can't be reached, or has no place, is a line like others") {
  const ScratchFolder folder;
  const fs::path too_long = folder.path / std::string(300, 'x');
  CHECK_FALSE(ledger_condition(too_long).good);
  CHECK(ledger_condition(too_long).words.find("cannot be reached") != std::string::npos);
  std::map<std::string, std::string> told;
  for (const char* name : {"HOME", "XDG_DATA_HOME", "BRAIRD_LEDGER"})
    if (const char* value = std::getenv(name)) told[name] = value, unsetenv(name);
  const std::vector<Condition> homeless = conditions({});
  for (const auto& [name, value] : told) setenv(name.c_str(), value.c_str(), 1);
  CHECK(homeless.at(2).words.find("there is no home folder") == 0);
  CHECK_FALSE(homeless.at(2).good);
}

TEST_CASE("fonts are found at any depth; none is told with what to do") {
  const ScratchFolder folder;
  CHECK_FALSE(fonts({}).good);
  CHECK_FALSE(fonts({folder.path, folder.path / "missing"}).good);
  CHECK(fonts({folder.path}).words.find("fonts-dejavu") != std::string::npos);
  fs::create_directories(folder.path / "a" / "b");
  std::ofstream(folder.path / "a" / "b" / "plain.ttf") << "x";
  CHECK(fonts({folder.path}).good);
}

TEST_CASE("little memory is told with what to do") {
  CHECK(memory(8'000'000'000).good);
  CHECK(memory(8'000'000'000).words == "8.0 GB free");
  CHECK_FALSE(memory(400'000'000).good);
}

#ifndef BRAIRD_SANITIZED  // sanitizers take memory of their own
TEST_CASE("a photo of 48 megapixels is counted within the memory that doctor asks for") {
  const ScratchFolder folder;
  const fs::path sample = fs::path(BRAIRD_SOURCE_DIR) / "samples" / "photos" / "plug-128-brassica.jpg";
  cv::Mat large;
  cv::resize(braird::vision::load_photo(sample).bgr, large, {8000, 6000});
  const auto photo = folder.write("large.jpg", braird::test::jpeg_bytes(large)).string();
  const braird::test::Ran ran = braird::test::run_program({"count", "--tray", "plug-128", photo});
  CHECK(ran.exit_code == 0);
  MESSAGE("peak memory: ", ran.peak_mb, " MB");
  CHECK(memory(static_cast<std::uint64_t>(ran.peak_mb) * 1'000'000).good == false);  // it does with less
}
#endif

TEST_CASE("doctor says it line by line, and its exit status tells whether anything is missing") {
  const ScratchFolder folder;
  std::ostringstream out, err;
  const std::string broken = folder.write("not.sqlite", "Sown on Friday.\n").string();
  CHECK(run_braird({"doctor", "--ledger", broken}, Console{out, err}) == ExitCode::not_all_done);
  CHECK(out.str().find("\n! ledger") != std::string::npos);
  CHECK(out.str().find("  photos    JPEG") == 0);
  CHECK(err.str().empty());
}
