// SPDX-License-Identifier: Apache-2.0
// Another project's program: loads a photo and counts it with the installed libraries.
#include <calibration/interval.h>
#include <vision/take_census.h>

#include <iostream>

int main(int, char** arguments) {
  const auto photo = braird::vision::load_photo(arguments[1]);
  const auto reading = braird::vision::take_census(photo, {});
  const auto share = braird::wilson(98, 104);
  std::cout << photo.facts.width << " px wide; " << reading.census.trays.size()
            << " trays; 98 of 104: at least " << share.low << '\n';
}
