// SPDX-License-Identifier: Apache-2.0
// Is a lattice a whole tray? The photo is asked whether the tray ends at its sides.
#pragma once

#include <functional>

#include "vision/photo_senses.h"
#include "vision/sight.h"

namespace braird::vision {

/// A sight with nothing told, weighed once more by the ends seen at its lattices' sides: `fit` becomes the
/// chance that both its rows and columns and where they end are right. What is likely enough is found, be it
/// a guess of the maps; what isn't no longer is. A row or two that a line of two trays parts from the rest
/// are left out, being a neighbour's.
Sight weighed_by_ends(Sight sight, const PhotoSenses& photo);

/// Whether a lattice with nothing told has a chance to count by.
bool is_likely(const Lattice& lattice);

/// Whether the photo shows that a tray may go on beyond one of its sides.
bool has_hidden_end(const Lattice& lattice, const PhotoSenses& photo);

/// The chance that no seam runs within a lattice.
double chance_of_one(const Lattice& lattice, const PhotoSenses& photo);

/// The chance of a lattice that two looks lead with, from the chances that each gives it. That they agree
/// speaks for it: in some 980 painted photos (98000000 …, 98100000 …, 99000000 …) 11 such of 13 were right,
/// though neither look was sure of them.
double chance_of_both(double one, double other);

/// A sight as stated in which the maps alone see no whole tray, but the photo does.
Sight completed_by_ends(Sight sight, const PhotoSenses& photo);

/// Whether a tray as stated may go on beyond a side, unseen. No end need show at sides (0: first row, then
/// clockwise) where another tray is known to lie.
bool may_go_on(const Lattice& lattice, const std::function<bool(int side)>& is_butted,
               const PhotoSenses& photo);

}  // namespace braird::vision
