// SPDX-License-Identifier: Apache-2.0
#include "vision/models.h"

extern "C" {
extern const unsigned char braird_lattice_model[], braird_lattice_model_end[];
extern const unsigned char braird_counts_model[], braird_counts_model_end[];
}

namespace braird::vision {

cv::dnn::Net load_model(Model model) {
  const auto* begin = model == Model::lattice ? braird_lattice_model : braird_counts_model;
  const auto* end = model == Model::lattice ? braird_lattice_model_end : braird_counts_model_end;
  return cv::dnn::readNetFromONNX(reinterpret_cast<const char*>(begin),
                                  static_cast<std::size_t>(end - begin));
}

}  // namespace braird::vision
