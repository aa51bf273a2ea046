// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "cli/report/report.h"

namespace braird::report {

/// The report as one HTML file that needs nothing else: style, program, photos and figures are in it, and its
/// content security policy lets it ask for nothing.
std::string page(const Report& report);

}  // namespace braird::report
