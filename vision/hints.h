// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "calibration/census.h"

namespace braird::vision {

/// How a crop's seedlings look from above, a week after sowing.
enum class SeedlingHabit {
  unknown,
  round_pair,  ///< two round or notched cotyledons: brassicas, lettuce
  strap_pair,  ///< two long narrow cotyledons: tomato, beet, chard, spinach
  thread,      ///< one thin round leaf, looped or upright: onion, leek, chives
};

/// Who counts: the trained network, or the transparent counter by plant area.
enum class Counter { learned, by_shape };

/// A tray's label, as read in a photo.
struct SeenLabel {
  TrayLabel label;
  std::array<Point, 4> corners_px;  ///< of its code: upper left as printed, then clockwise
  /// What it says, understood: shape, seeds and habit of its own tray.
  std::optional<Layout> layout;
  SeedlingHabit habit = SeedlingHabit::unknown;
};

/// What the user or the tray's label says; everything is optional.
struct Hints {
  std::optional<int> rows;
  std::optional<int> cols;
  std::optional<LatticeKind> lattice;
  std::string stated_by;  ///< "label K7", "tag K7" or "the ledger" if that states this shape; empty: the user
  /// Centres of the corner cells (0,0), (0,last), (last,last), (last,0) in photo pixels, clockwise as seen;
  /// used only with rows and columns, and then instead of looking for the lattice.
  std::optional<std::array<Point, 4>> corners;
  std::vector<Layout> known_layouts;  ///< from the tray list
  SeedlingHabit habit = SeedlingHabit::unknown;
  std::optional<int> seeds_per_cell;  ///< as sown, ≥ 1
  Counter counter = Counter::learned;
  std::vector<SeenLabel> labels;  ///< of the trays in the photo; each goes before the rest for its own tray
  bool plant_places = false;      ///< fill in Cell::plant
  Counted counted = Counted::seedlings;  ///< seeds: before they are covered
};

}  // namespace braird::vision
