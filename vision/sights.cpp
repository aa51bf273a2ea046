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

/// Where what leads may be several trays. Of a lattice that is clear even so, the answer known does; of
/// others it is worth asking again, of the lattice before it followed its creep.
std::vector<SeamWithin> seams_of(const Sight& sight, const PhotoSenses& photo) {
  const bool known =
      sight.seams && is_clear(sight.lattices[0]) && same_cells(sight.lattices[0], *sight.leading);
  return known ? *sight.seams : photo.seams_in(*sight.leading);
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
                             const PhotoSenses& photo, int most_seams);

/// What shows of one of several trays that touch, the others left out.
std::vector<Sight> sights_of(const ButtedTray& tray, const LatticeMaps& maps, const Hints& hints,
                             const PhotoSenses& photo, int most_seams) {
  PhotoSenses alone = photo;
  alone.look_closer = [&](const LatticeMaps& there, const TrayQuad& quad, double beside) {
    auto closer = photo.look_closer(there, quad, beside);
    if (closer) closer = without_neighbour(*closer, tray);
    return closer;
  };
  if (photo.ends_of)
    alone.ends_of = [&](const Lattice& lattice) {
      auto ends = photo.ends_of(lattice);
      for (int side = 0; side < 4; ++side)
        if (ends_at_seam(lattice, side, tray)) ends[side] = std::max(ends[side], tray.seam);
      return ends;
    };
  const LatticeMaps part = without_neighbour(maps, tray);
  const auto corners = corner_centres(tray.cells);
  const std::vector<cv::Point2f> outline(corners.begin(), corners.end());
  std::vector<Sight> sights;
  for (const TrayQuad& quad : find_tray_quads(part))
    if (lies_within(quad, part, outline))
      std::ranges::move(sights_in(part, quad, hints, alone, most_seams), std::back_inserter(sights));
  // Where one ends is known better than by looking at it alone.
  if (std::ranges::all_of(sights, [](const Sight& sight) { return sight.lattices.empty(); }) &&
      is_sure(tray.cells) && side_left(tray.cells, photo.frame).empty() &&
      is_as_stated(layout_of(tray.cells), hints))
    return {asked({{tray.cells}}, hints, photo)};
  return sights;
}

std::vector<Sight> sights_in(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints,
                             const PhotoSenses& photo, int most_seams) {
  Sight sight = asked(examine(maps, quad, hints), hints, photo);
  if (is_blurry(sight) && photo.look_closer) sight = settled(sight, seen_closer(maps, quad, hints, photo));
  if (!photo.seams_in || most_seams == 0) return {sight};
  if (!quad.cut_side.empty())
    if (const auto choice = choose_lattice(maps, quad, hints))
      sight.leading = in_photo(choice->lattice, maps);
  // A lattice gone astray has no chance at all; where its lines run in the photo means nothing.
  if (!sight.leading || sight.leading->fit <= 0) return {sight};
  std::vector<Sight> sights;
  for (const ButtedTray& tray : butted_trays(*sight.leading, seams_of(sight, photo), hints, photo.frame))
    std::ranges::move(sights_of(tray, maps, hints, photo, most_seams - 1), std::back_inserter(sights));
  return sights.empty() ? std::vector<Sight>{sight} : sights;
}

}  // namespace

std::vector<Sight> sights_in(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints,
                             const PhotoSenses& photo) {
  constexpr int kMostSeams = 3;  // of trays that touch, one after another
  return sights_in(maps, quad, hints, photo, kMostSeams);
}

}  // namespace braird::vision
