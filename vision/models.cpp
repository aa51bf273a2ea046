// SPDX-License-Identifier: Apache-2.0
#include "vision/models.h"

#include <span>
#include <stdexcept>

extern "C" {
#define BRAIRD_DECLARE(name) extern const unsigned char braird_##name##_model[], braird_##name##_model_end[];
BRAIRD_MODELS(BRAIRD_DECLARE)
#undef BRAIRD_DECLARE
}

namespace braird::vision {
namespace {

std::span<const unsigned char> bytes_of(Model model) {
  switch (model) {
#define BRAIRD_CASE(name) \
  case Model::name:       \
    return {braird_##name##_model, braird_##name##_model_end};
    BRAIRD_MODELS(BRAIRD_CASE)
#undef BRAIRD_CASE
  }
  throw std::logic_error("no such network");
}

}  // namespace

Weights model_weights(Model model, const std::string& prefix) {
  return read_weights(bytes_of(model), prefix);
}

}  // namespace braird::vision
