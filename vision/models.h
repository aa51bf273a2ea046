// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <string>

#include "vision/model_names.h"
#include "vision/net/weights.h"

namespace braird::vision {

#define BRAIRD_NAME(name) name,
enum class Model { BRAIRD_MODELS(BRAIRD_NAME) };
#undef BRAIRD_NAME

#define BRAIRD_NAME(name) Model::name,
inline constexpr std::array kModels{BRAIRD_MODELS(BRAIRD_NAME)};
#undef BRAIRD_NAME

/// The weights of a network, which are compiled into the library; those whose names begin with `prefix`,
/// without it.
Weights model_weights(Model model, const std::string& prefix = "");

}  // namespace braird::vision
