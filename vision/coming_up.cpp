// SPDX-License-Identifier: Apache-2.0
#include "vision/coming_up.h"

#include "vision/cell_chances.h"
#include "vision/flat_tray.h"
#include "vision/looks.h"
#include "vision/net/networks.h"

namespace braird::vision {

std::vector<CountChances> count_coming_up(const TrayInPhoto& seen, const Hints& hints) {
  const Lattice lattice = lattice_through(seen);
  const FlatTray flat = lay_flat(seen.photo.bgr, lattice, kCountedCell);
  return chances_of_cells(count_chances(Model::coming_up, flat.bgr, sides(flat.lean, hints), kMostLooks),
                          lattice);
}

Tray with_counts(Tray tray, const std::vector<CountChances>& chances) {
  for (std::size_t at = 0; at < tray.cells.size(); ++at)
    tray.cells[at] = with_chances(std::move(tray.cells[at]), chances.at(at));
  return tray;
}

}  // namespace braird::vision
