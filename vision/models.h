// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/dnn.hpp>

namespace braird::vision {

enum class Model { lattice, counts, seeds };

/// A fresh network with its weights, which are compiled into the library.
cv::dnn::Net load_model(Model model);

}  // namespace braird::vision
