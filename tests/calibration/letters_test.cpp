// SPDX-License-Identifier: Apache-2.0
#include "calibration/letters.h"

#include <doctest/doctest.h>

#include <stdexcept>

using namespace braird;

TEST_CASE("a lot's name is of letters, without blanks at its ends") {
  CHECK(lot_name(" \tRowan 12 ") == "Rowan 12");
  CHECK(lot_name("Blé n° 3") == "Blé n° 3");
  for (const char* none : {"", " ", "\t\n"})
    CHECK_THROWS_WITH(lot_name(none), "a lot needs a name; tell it as written on the pack");
  for (const char* other : {"Bl\xE9", "\xC3", "\xED\xA0\x80", "a\x01"})
    CHECK_THROWS_WITH(lot_name(other), doctest::Contains("UTF-8"));
}
