// SPDX-License-Identifier: Apache-2.0
// How much of a sowing will be up in the end, by what is up now and by how its trays came up?
//
// Each course says what share of the seeds that are not up now still comes (emergence_fit.h), or came and
// died back; the mean of these shares, by seeds, is taken to hold for all trays. It is added to the
// germination counted now, end by end of its interval. So the forecast is never below what is or was up, and
// never surer than its count.
#pragma once

#include <optional>
#include <span>

#include "calibration/germination_times.h"
#include "calibration/interval.h"

namespace braird {

/// How a tray came up; its design effect as in emergence_fit.h.
struct Course {
  Inspections seen;
  double design_effect = 1;
  std::optional<double> standing{};  ///< of those that came up, at the last inspection; nothing: all
};

struct Outlook {
  std::optional<Estimate> in_the_end;  ///< nothing where no course shows a seedling, or they still rise
  bool still_rising = false;           ///< half of the seeds or more are in courses whose end can't be seen
};

/// Does the course still climb, so that its end can't be seen?
bool still_rises(const Inspections& seen);

Outlook outlook_of(const Estimate& now, std::span<const Course> courses);

}  // namespace braird
