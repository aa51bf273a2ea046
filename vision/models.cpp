// SPDX-License-Identifier: Apache-2.0
#include "vision/models.h"

#include <span>

extern "C" {
extern const unsigned char braird_lattice_model[], braird_lattice_model_end[];
extern const unsigned char braird_lattice_closer_model[], braird_lattice_closer_model_end[];
extern const unsigned char braird_ends_model[], braird_ends_model_end[];
extern const unsigned char braird_seams_model[], braird_seams_model_end[];
extern const unsigned char braird_counts_model[], braird_counts_model_end[];
extern const unsigned char braird_seeds_model[], braird_seeds_model_end[];
extern const unsigned char braird_seeds_large_tray_model[], braird_seeds_large_tray_model_end[];
extern const unsigned char braird_coming_up_model[], braird_coming_up_model_end[];
}

namespace braird::vision {
namespace {

std::span<const unsigned char> bytes_of(Model model) {
  switch (model) {
    case Model::lattice:
      return {braird_lattice_model, braird_lattice_model_end};
    case Model::lattice_closer:
      return {braird_lattice_closer_model, braird_lattice_closer_model_end};
    case Model::ends:
      return {braird_ends_model, braird_ends_model_end};
    case Model::seams:
      return {braird_seams_model, braird_seams_model_end};
    case Model::counts:
      return {braird_counts_model, braird_counts_model_end};
    case Model::seeds:
      return {braird_seeds_model, braird_seeds_model_end};
    case Model::seeds_large_tray:
      return {braird_seeds_large_tray_model, braird_seeds_large_tray_model_end};
    case Model::coming_up:
      break;
  }
  return {braird_coming_up_model, braird_coming_up_model_end};
}

}  // namespace

Weights model_weights(Model model, const std::string& prefix) {
  return read_weights(bytes_of(model), prefix);
}

}  // namespace braird::vision
