// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "vision/seedlings.h"

namespace braird::vision {

/// Can the seeds of this tray be told from the medium? Empty if so; else a sentence that says why not and what to
/// do. `chances`: one entry a cell, of a count of seeds.
std::string why_seeds_hide(const std::vector<CountChances>& chances);

}  // namespace braird::vision
