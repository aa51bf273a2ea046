// SPDX-License-Identifier: Apache-2.0
#include "calibration/hex.h"

#include <doctest/doctest.h>

using namespace braird;

TEST_CASE("bytes as hexadecimal digits, and back") {
  const std::string bytes("\x00\x0f\xa0\xff", 4);
  CHECK(hex_of(bytes) == "000fa0ff");
  CHECK(bytes_of_hex("000fa0ff") == bytes);
  CHECK(bytes_of_hex("") == "");
  for (const char* none : {"0", "0fa", "0g", "0F", " 0", "-1"}) CHECK_FALSE(bytes_of_hex(none));
}
