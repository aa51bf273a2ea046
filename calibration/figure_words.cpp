// SPDX-License-Identifier: Apache-2.0
#include "calibration/figure_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace braird {

std::string percent(double share) {
  if (share > 0 && share < .001) return "<0.1";
  if (share > .999 && share < 1) return ">99.9";
  const bool fine = (share > 0 && share < .0995) || (share > .9905 && share < 1);
  return fmt::format("{:.{}f}", 100 * share, fine ? 1 : 0);
}

std::string percent_chance(double chance) {
  return percent(std::min(chance, std::nextafter(1., 0.)));
}

std::string grouped(double number) {
  const double whole = std::round(number);
  return whole < 1000 ? fmt::format("{:.0f}", whole)
                      : fmt::format("{},{:03.0f}", grouped(std::floor(whole / 1000)), std::fmod(whole, 1000));
}

std::string counted(double number, const char* one, const char* many) {
  const std::string figure = grouped(number);
  return figure + " " + (figure == "1" ? one : many);
}

}  // namespace braird
