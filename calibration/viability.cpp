// SPDX-License-Identifier: Apache-2.0
#include "calibration/viability.h"

#include <algorithm>
#include <array>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "calibration/require.h"

namespace braird {
namespace {

struct Constants {
  std::string_view crop;
  double ke, cw, ch, cq;
};

constexpr std::array kConstants = {Constants{"onion", 6.975, 3.470, .0400, .000428},
                                   Constants{"lettuce", 8.218, 4.797, .0489, .000365},
                                   Constants{"barley", 9.983, 5.896, .0400, .000428}};

}  // namespace

std::optional<double> days_a_probit(std::string_view crop, const Storage& storage) {
  require(storage.days >= 0, "days in store", storage.days, "≥ 0");
  require(storage.moisture_percent >= 2 && storage.moisture_percent <= 25, "moisture of the seed",
          storage.moisture_percent, "from 2 to 25 %");
  require(storage.celsius >= -20 && storage.celsius <= 90, "temperature of the store", storage.celsius,
          "from -20 to 90 °C");
  const auto* known = std::ranges::find(kConstants, crop, &Constants::crop);
  if (known == kConstants.end()) return std::nullopt;
  const double t = storage.celsius;
  return std::pow(
      10, known->ke - known->cw * std::log10(storage.moisture_percent) - known->ch * t - known->cq * t * t);
}

std::optional<double> aged_germination(std::string_view crop, double tested, const Storage& storage) {
  require(tested > 0 && tested < 1, "tested germination", tested, "between 0 and 1");
  const auto probit = days_a_probit(crop, storage);
  if (!probit) return std::nullopt;
  const boost::math::normal unit;
  return cdf(unit, quantile(unit, tested) - storage.days / *probit);
}

}  // namespace braird
