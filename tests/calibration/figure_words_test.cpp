// SPDX-License-Identifier: Apache-2.0
#include "calibration/figure_words.h"

#include <doctest/doctest.h>

using namespace braird;

TEST_CASE("per cents keep the figure, and never round to a certainty") {
  CHECK(percent(.82) == "82");
  CHECK(percent(.926) == "93");
  CHECK(percent(.0135) == "1.4");
  CHECK(percent(263 / 264.) == "99.6");
  CHECK(percent(.9904) == "99");
  CHECK(percent(.0004) == "<0.1");
  CHECK(percent(.9996) == ">99.9");
  CHECK(percent(0) == "0");
  CHECK(percent(1) == "100");
  CHECK(percent(1.43) == "143");  // seed clusters
}

TEST_CASE("a chance of one is a certainty only by rounding") {
  CHECK(percent_chance(1) == ">99.9");
  CHECK(percent_chance(1 + 1e-12) == ">99.9");
  CHECK(percent_chance(.5) == "50");
}

TEST_CASE("numbers of things are grouped, and one is one") {
  CHECK(grouped(999) == "999");
  CHECK(grouped(1056) == "1,056");
  CHECK(grouped(1234567) == "1,234,567");
  CHECK(counted(1, "seed", "seeds") == "1 seed");
  CHECK(counted(.7, "seed", "seeds") == "1 seed");
  CHECK(counted(0, "seed", "seeds") == "0 seeds");
  CHECK(counted(1056, "cell", "cells") == "1,056 cells");
}
