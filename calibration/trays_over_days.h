// SPDX-License-Identifier: Apache-2.0
// Which of a lot's photos show the same tray again?
//
// Those with the same tag on their labels do, and those with unlike ones never. Photos without a tag do where
// each day shows as many trays of one shape (upright or across) and sowing, and where the occupied cells of one day are among
// those of the other: what is up stays up. That is Loevinger's H (1948), 1 - misfits / misfits expected of
// unlike trays: 1 for the same trays, about 0 for others. In nearly full trays so few misfits are expected
// that misread cells alone bring H down, so trays are held for others only where there are more of them than
// such cells explain; nearly full trays that are others then pass for the same.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "calibration/census.h"

namespace braird {

/// A tray in a photo.
struct Shot {
  const Tray* tray = nullptr;
  std::string name;                              ///< of the tray, for the reader
  std::optional<std::chrono::sys_days> sown_on;  ///< if known
  std::optional<std::chrono::sys_days> taken;    ///< if known
  std::optional<double> day;                     ///< of the exposure, since sowing
};
using Shots = std::vector<Shot>;

/// On its label.
std::optional<std::string> tag_of(const Shot& shot);

struct TraysOverDays {
  std::vector<Shots> trays;   ///< each tray's photos, the latest last; in the order in which those were given
  bool side_by_side = false;  ///< some photos of several days, without a tag, are held for unlike trays
};

/// `as_they_stand`: of photos that would be side by side only those of the last day.
TraysOverDays trays_over_days(const Shots& shots, bool as_they_stand = false);

}  // namespace braird
