// SPDX-License-Identifier: Apache-2.0
// What one look shows within a region.
#pragma once

#include <optional>
#include <vector>

#include "vision/hints.h"
#include "vision/lattice_maps.h"
#include "vision/lattice_trouble.h"
#include "vision/photo_senses.h"
#include "vision/tray_quad.h"

namespace braird::vision {

/// The lattices of the tray (or of trays butted together) in a quad, in the photo's pixels, and what stands
/// in the way of one.
struct Sight {
  std::vector<Lattice> lattices;
  std::optional<Trouble> trouble = std::nullopt;
  std::vector<Lattice> guesses = {};              ///< what leads but is not sure enough
  std::optional<Lattice> partly = std::nullopt;   ///< sure, but the maps show no whole tray
  std::optional<Lattice> leading = std::nullopt;  ///< be it sure, as stated, whole or none of these
  bool goes_on = false;                           ///< beyond what was looked at
  std::optional<std::vector<SeamWithin>> seams = std::nullopt;  ///< within the one lattice, if that was asked
};

/// `farther`: an earlier look at the same tray, a witness too.
Sight examine(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints,
              const LatticeMaps* farther = nullptr);

/// Whether a lattice's fit is one to count by.
bool is_sure(const Lattice& lattice);

/// Whether one look is enough.
bool is_clear(const Lattice& lattice);

/// Whether a nearer look may help.
bool is_blurry(const Sight& sight);

/// What two looks come to. A lattice that the first one chose stands if the nearer one, be it unsure, leads
/// with it too, and falls if that leads with another; then the nearer one must be very clear.
Sight settled(const Sight& first, const Sight& nearer);

}  // namespace braird::vision
