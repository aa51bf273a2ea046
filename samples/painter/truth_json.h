// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "samples/painter/painter.h"

namespace braird::painter {

/// The truth of a painted photo, as NAME.truth.json holds it.
nlohmann::ordered_json truth_json(const Scene& scene, const PaintedPhoto& photo, const std::string& file);

}  // namespace braird::painter
