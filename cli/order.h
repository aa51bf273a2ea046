// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <chrono>
#include <optional>
#include <string>

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
  std::optional<std::string> lot;
  std::vector<std::string> remarks;  ///< for the census
};

/// Throws std::invalid_argument with one sentence that names the option and the remedy.
Order understand(const CountArguments& arguments, const Profiles& profiles);

}  // namespace braird::cli
