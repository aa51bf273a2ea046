// SPDX-License-Identifier: Apache-2.0
// Why a tray that was seen is not counted, in words for its grower.
#pragma once

#include <optional>
#include <string>

#include "vision/hints.h"
#include "vision/lattice_choice.h"

namespace braird::vision {

struct Trouble {
  std::string reason, remedy;
  bool blurry = false;  ///< a nearer look may help
};

std::string in_words(const Trouble& trouble);

/// The side of the frame beyond which a lattice's cells reach; empty if they don't.
std::string side_left(const Lattice& lattice, const cv::Rect& frame);

Trouble cut_off(const std::string& side);

/// `told`: whether the layout was stated. Small trays of two rows look hidden, too, to one who isn't told.
Trouble hidden_side(bool told);

/// `told`: whether the layout was stated.
Trouble unclear(const std::optional<LatticeChoice>& choice, bool told);

Trouble not_as_stated(const Layout& seen, const Hints& stated);

Trouble alike_but_for_rows(const Layout& one, const Layout& other);

/// `part` may be some rows of a tray.
Trouble perhaps_part(const Layout& part);

/// `whole` may be several trays like `part` that touch.
Trouble perhaps_several(const Layout& whole, const Layout& part);

/// `seen` makes several trays of the list.
Trouble perhaps_several(const Layout& seen);

}  // namespace braird::vision
