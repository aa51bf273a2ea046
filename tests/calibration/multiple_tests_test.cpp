// SPDX-License-Identifier: Apache-2.0
#include "calibration/multiple_tests.h"

#include <algorithm>
#include <stdexcept>

#include "near.h"

using namespace braird;

namespace {

// Benjamini & Hochberg 1995, JRSS B 57:289-300, section 4.1, the fifteen ordered p-values (from memory).
const std::vector<double> kPublished = {.0001, .0004, .0019, .0095, .0201, .0278, .0298, .0344,
                                        .0459, .3240, .4262, .5719, .6528, .7590, 1.000};

auto below(const std::vector<double>& adjusted) {
  return std::ranges::count_if(adjusted, [](double p) { return p <= .05; });
}

}  // namespace

TEST_CASE("published: Benjamini & Hochberg's example, four finds where familywise control has three") {
  CHECK(below(false_discovery_rate(kPublished)) == 4);
  CHECK(below(holm(kPublished)) == 3);
}

TEST_CASE("identity: adjusted values by hand, in the order given") {
  const std::vector<double> p = {.03, .01, .04, .02};
  const auto stepped = holm(p), shared = false_discovery_rate(p);
  const std::vector<double> by_hand = {.06, .04, .06, .06};
  for (std::size_t at = 0; at < p.size(); ++at) {
    CHECK(stepped[at] == doctest::Approx(by_hand[at]));
    CHECK(shared[at] == doctest::Approx(.04));
  }
  CHECK(holm({}).empty());
  CHECK_THROWS_AS(holm(std::vector<double>{1.2}), std::invalid_argument);
  CHECK_THROWS_AS(false_discovery_rate(std::vector<double>{-.1}), std::invalid_argument);
}

TEST_CASE(
    "published: Fisher's tea cups, 3 of 4 right by chance: 17/70 (Fisher 1935, The Design of Experiments)") {
  CHECK(chance_of_more({8, 4, 4, 3}) == doctest::Approx(17. / 70));
  CHECK(chance_of_more({8, 4, 4, 4}) == doctest::Approx(1. / 70));
  CHECK(chance_of_fewer({8, 4, 4, 1}) == doctest::Approx(17. / 70));
}

TEST_CASE("the edges of a part") {
  CHECK(chance_of_more({10, 3, 4, 0}) == 1);
  CHECK(chance_of_more({10, 10, 4, 4}) == 1);
  CHECK(chance_of_fewer({10, 3, 4, 3}) == doctest::Approx(1));
  CHECK_THROWS_AS(chance_of_more({10, 3, 12, 0}), std::invalid_argument);
  CHECK_THROWS_AS(chance_of_more({10, 3, 4, 4}), std::invalid_argument);
  CHECK_THROWS_AS(chance_of_fewer({10, 9, 4, 1}), std::invalid_argument);
}
