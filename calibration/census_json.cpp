// SPDX-License-Identifier: Apache-2.0
#include "calibration/census_json.h"

#include <nlohmann/json.hpp>
