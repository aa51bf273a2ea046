// SPDX-License-Identifier: Apache-2.0
// What is asked of counted trays.
#pragma once

#include <optional>
#include <vector>

#include "calibration/census_lots.h"
#include "calibration/grower_advice.h"

namespace braird::test {

inline AdviceRequest request_for(const Tray& tray, const char* crop, std::optional<double> day) {
  const std::vector<Census> censuses = {{{"bench.jpg", 2400, 1800, {}}, {tray}, {}}};
  AdviceRequest request;
  request.lot = lots_of(censuses, {}).front();
  request.crop = find_crop(built_in_profiles(), crop);
  request.day = day;
  return request;
}

}  // namespace braird::test
