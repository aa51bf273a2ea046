// SPDX-License-Identifier: Apache-2.0
// The corpus, and with it every input that once crashed a target, through the targets as ordinary tests.
#include <doctest/doctest.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "tests/fuzz/targets.h"
#include "tests/times.h"

using namespace braird;
using namespace braird::fuzz;

namespace fs = std::filesystem;

TEST_CASE("what fuzzing found stays found: the corpus goes through its targets") {
  for (const Target& target : targets()) {
    CAPTURE(target.name);
    int files = 0;
    for (const fs::directory_entry& file :
         fs::directory_iterator(fs::path(BRAIRD_SOURCE_DIR) / "tests/fuzz/corpus" / target.name)) {
      CAPTURE(file.path().string());
      std::ifstream in(file.path(), std::ios::binary);
      const std::string bytes{std::istreambuf_iterator<char>(in), {}};
      const auto begin = std::chrono::steady_clock::now();
      CHECK_NOTHROW(
          run_quietly(target, {reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()}));
      CHECK(std::chrono::steady_clock::now() - begin < std::chrono::seconds(test::times(5, 600)));  // no hang
      ++files;
    }
    CHECK(files > 0);
  }
}

TEST_CASE("a target takes what is cut off anywhere, and nothing at all") {
  for (const Target& target : targets()) {
    CAPTURE(target.name);
    CHECK_NOTHROW(run_quietly(target, {}));
    const unsigned char some[] = {0xff, 0xd8, 0xff, 0, '{', '"', 0x80};
    for (std::size_t length = 1; length <= sizeof some; ++length)
      CHECK_NOTHROW(run_quietly(target, {some, length}));
  }
}
