// SPDX-License-Identifier: Apache-2.0
#include "vision/sights.h"

#include <algorithm>
#include <iterator>
#include <utility>

#include "vision/butted.h"
#include "vision/closer.h"
#include "vision/lattice_choice.h"
#include "vision/whole_tray.h"

namespace braird::vision {
namespace {

/// A sight once the photo was asked where its trays end.
Sight asked(Sight sight, const Hints& hints, const PhotoSenses& photo) {
  if (!photo.ends_of) return sight;
  return hints.rows && hints.cols ? completed_by_ends(std::move(sight), photo)
                                  : weighed_by_ends(std::move(sight), photo);
}

/// What nearer looks show of a quad; a second one shows more beside it, if the first was too narrow.
Sight seen_closer(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints,
                  const PhotoSenses& photo) {
  Sight sight;
  for (const double beside : {kBeside, kFarBeside}) {
    const auto closer = photo.look_closer(maps, quad, beside);
    if (!closer) break;
    sight = asked(examine_closer(*closer, maps, quad, hints), hints, photo);
    if (!sight.goes_on) break;
  }
  return sight;
}

std::vector<Sight> sights_in(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints,
                             const PhotoSenses& photo, int most_lines) {
  Sight sight = asked(examine(maps, quad, hints), hints, photo);
  if (is_blurry(sight) && photo.look_closer) sight = settled(sight, seen_closer(maps, quad, hints, photo));
  if (!photo.ends_at || most_lines == 0) return {sight};
  if (!quad.cut_side.empty())
    if (const auto choice = choose_lattice(maps, quad, hints))
      sight.leading = in_photo(choice->lattice, maps);
  // A lattice gone astray has no chance at all; where its lines run in the photo means nothing.
  if (!sight.leading || sight.leading->fit <= 0) return {sight};
  std::vector<Sight> sights;
  for (const ButtedTray& tray : butted_trays(maps, quad, *sight.leading, hints, photo.ends_at)) {
    std::vector<Sight> found = sights_in(maps, tray.quad, hints, photo, most_lines - 1);
    // Where one ends is known better than by looking at it alone.
    if (found.size() == 1 && found[0].lattices.empty() && tray.quad.cut_side.empty() && is_sure(tray.cells) &&
        is_as_stated(layout_of(tray.cells), hints))
      found[0] = asked({{tray.cells}}, hints, photo);
    std::ranges::move(found, std::back_inserter(sights));
  }
  return sights.empty() ? std::vector<Sight>{sight} : sights;
}

}  // namespace

std::vector<Sight> sights_in(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints,
                             const PhotoSenses& photo) {
  constexpr int kMostLines = 3;  // of trays that touch, one after another
  return sights_in(maps, quad, hints, photo, kMostLines);
}

}  // namespace braird::vision
