// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "cli/report/report.h"

namespace braird::report {

/// The photo with each cell's state on its rim and the rows and columns numbered, as in
/// vision/marked_photo.h: an <img> and an <svg> over it. Nothing without a photo.
std::string marked_photo(const TrayReport& tray);

}  // namespace braird::report
