// SPDX-License-Identifier: Apache-2.0
#include "vision/models.h"

#include <span>

extern "C" {
extern const unsigned char braird_lattice_model[], braird_lattice_model_end[];
extern const unsigned char braird_counts_model[], braird_counts_model_end[];
extern const unsigned char braird_seeds_model[], braird_seeds_model_end[];
}

namespace braird::vision {
namespace {

std::span<const unsigned char> bytes_of(Model model) {
  switch (model) {
    case Model::lattice:
      return {braird_lattice_model, braird_lattice_model_end};
    case Model::counts:
      return {braird_counts_model, braird_counts_model_end};
    case Model::seeds:
      break;
  }
  return {braird_seeds_model, braird_seeds_model_end};
}

}  // namespace

cv::dnn::Net load_model(Model model) {
  const auto bytes = bytes_of(model);
  return cv::dnn::readNetFromONNX(reinterpret_cast<const char*>(bytes.data()), bytes.size());
}

}  // namespace braird::vision
