// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

#include "calibration/census.h"
#include "calibration/profiles.h"
#include "cli/commands/count.h"
#include "vision/hints.h"

namespace braird::cli {

/// What the user says of the trays, understood.
struct Order {
  vision::Hints hints;
  const CropProfile* crop = nullptr;  ///< null: not told, or not in the list
  std::optional<std::string> crop_name;
  std::optional<std::chrono::sys_days> sown;
  std::optional<std::chrono::sys_days> taken;  ///< of photos that do not tell
  std::optional<std::string> lot;
  std::vector<std::string> remarks;  ///< for the census
};

/// A remark on a tray that is bare though something might be up, or that is none.
inline constexpr std::string_view kNothingSeen =
    "nothing was seen in any cell of a tray; make sure that it is a sown tray, of the day of sowing, and "
    "that nothing stands in it: brown and orange leaves and what just breaks through are overlooked";

/// The photo's own word goes before the user's, who may count photos of several days at once.
std::optional<std::chrono::sys_days> day_taken(const PhotoFacts& photo, const Order& order);

/// Whole days from sowing to the photo; nothing if either is unknown or the photo came first.
std::optional<int> age_days(const PhotoFacts& photo, const Order& order);

/// What stands in the way of knowing the age, or what the age says against the counts, as remarks for the
/// census.
std::vector<std::string> age_remarks(const Census& census, const Order& order);

/// The habit that a crop's profile names.
vision::SeedlingHabit habit_called(const std::string& name);

/// Throws std::invalid_argument with one sentence that names the option and the remedy.
Order understand(const CountArguments& arguments, const Profiles& profiles);

}  // namespace braird::cli
