// SPDX-License-Identifier: Apache-2.0
#include "calibration/too_early.h"

#include <fmt/format.h>

#include <cmath>

#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kSteepness = 8;
constexpr double kEnoughUp = 0.90;
constexpr double kNearlyAllUp = 0.95;

double share_up(double day, double days_to_emergence) {
  return day > 0 ? 1 / (1 + std::pow(days_to_emergence / day, kSteepness)) : 0;
}

double day_of(double share, double days_to_emergence) {
  return days_to_emergence * std::pow(share / (1 - share), 1 / kSteepness);
}

std::string say(const Waiting& waiting, const Patience& patience) {
  const std::string usual = fmt::format("At {:.0f} °C {} takes about {:.0f} days to come up",
                                        waiting.medium_c, waiting.crop, waiting.days_to_emergence);
  if (!patience.too_early)
    return fmt::format("{}; on day {:.0f} nearly all that will come are up.", usual,
                       waiting.days_since_sowing);
  return fmt::format(
      "Too early to judge: {}, and on day {:.0f} about {:.0f} % of what will come are up; look again on "
      "day {:.0f}.",
      "at" + usual.substr(2), waiting.days_since_sowing, 100 * patience.up_by_now,
      std::ceil(patience.judge_on));
}

}  // namespace

Patience too_early_to_judge(const Waiting& waiting) {
  require(waiting.days_to_emergence > 0, "days to emergence", waiting.days_to_emergence, "> 0");
  require(waiting.days_since_sowing >= 0, "days since sowing", waiting.days_since_sowing, "≥ 0");
  Patience patience;
  patience.up_by_now = share_up(waiting.days_since_sowing, waiting.days_to_emergence);
  patience.judge_on = day_of(kNearlyAllUp, waiting.days_to_emergence);
  patience.too_early = patience.up_by_now < kEnoughUp;
  patience.sentence = say(waiting, patience);
  return patience;
}

}  // namespace braird
