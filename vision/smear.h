// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "vision/waves.h"

namespace braird::vision {

/// Whether a picture, whose `waves_of_light` these are, is smeared along one direction, as by a camera that moved.
bool is_smeared(const Waves& light);

}  // namespace braird::vision
