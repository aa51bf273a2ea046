// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <vector>

#include "vision/hints.h"
#include "vision/lattice_maps.h"
#include "vision/tray_quad.h"

namespace braird::vision {

/// The likeliest lattice in a quad, `fit` being its chance against all other shapes and against none being
/// there.
struct LatticeChoice {
  Lattice lattice;
  std::optional<Layout> rival;  ///< the next likeliest shape
};

/// Which lattice lies in the quad? None if no rhythm is heard in it. What is stated counts as evidence, not
/// as truth: another layout wins where the photo speaks clearly against it. `farther`: an earlier look at the
/// same place, as a second witness.
std::optional<LatticeChoice> choose_lattice(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints,
                                            const LatticeMaps* farther = nullptr);

/// Whether a layout is the one that the hints state; rows and columns of square trays may be swapped.
bool is_as_stated(const Layout& layout, const Hints& hints);

/// Whether the list has this layout; rows and columns of square trays may be swapped.
bool is_listed(const Layout& layout, const std::vector<Layout>& known);

}  // namespace braird::vision
