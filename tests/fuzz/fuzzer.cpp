// SPDX-License-Identifier: Apache-2.0
// What libFuzzer calls; the environment's BRAIRD_FUZZ names the target.
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <opencv2/core/utility.hpp>
#include <string_view>

#include "tests/fuzz/targets.h"

namespace {

const braird::fuzz::Target& target() {
  const char* wanted = std::getenv("BRAIRD_FUZZ");
  for (const braird::fuzz::Target& one : braird::fuzz::targets())
    if (wanted != nullptr && std::string_view(wanted) == one.name) return one;
  std::fputs("BRAIRD_FUZZ must name one of:", stderr);
  for (const braird::fuzz::Target& one : braird::fuzz::targets()) std::fprintf(stderr, " %s", one.name);
  std::fputc('\n', stderr);
  std::exit(2);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const braird::fuzz::Target& chosen = target();
  static const bool one_thread = (cv::setNumThreads(1), true);
  static_cast<void>(one_thread);
  braird::fuzz::run_quietly(chosen, {data, size});
  return 0;
}
