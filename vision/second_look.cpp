// SPDX-License-Identifier: Apache-2.0
#include "vision/second_look.h"

#include <algorithm>
#include <iterator>
#include <opencv2/imgproc.hpp>

#include "vision/closer.h"
#include "vision/geometry.h"
#include "vision/lattice_choice.h"
#include "vision/sights.h"
#include "vision/whole_tray.h"

namespace braird::vision {
namespace {

/// Something but the photo's edge stands in the way.
bool is_open(const Sight& sight) {
  return sight.trouble && !sight.goes_on;
}

bool lies_in(cv::Point2f place, const std::vector<cv::Point2f>& outline) {
  return cv::pointPolygonTest(outline, place, false) > 0;
}

cv::Point2f middle_of(const std::vector<cv::Point2f>& outline) {
  cv::Point2f sum;
  for (const cv::Point2f& corner : outline) sum += corner;
  return sum / static_cast<float>(outline.size());
}

std::vector<cv::Point2f> outline_of(const Lattice& lattice) {
  const auto corners = corner_centres(lattice);
  return {corners.begin(), corners.end()};
}

bool overlap(const Lattice& one, const Lattice& other) {
  return lies_in(middle_cell(one), outline_of(other)) || lies_in(middle_cell(other), outline_of(one));
}

std::vector<Lattice> all_of(std::vector<Lattice> Sight::*kind, const std::vector<Looked>& all) {
  std::vector<Lattice> result;
  for (const Looked& looked : all)
    for (const Sight& sight : looked.sights) std::ranges::copy(sight.*kind, std::back_inserter(result));
  return result;
}

std::vector<Lattice> lattices_in(const std::vector<Looked>& all) {
  return all_of(&Sight::lattices, all);
}

std::vector<Lattice> guesses_in(const std::vector<Looked>& all) {
  return all_of(&Sight::guesses, all);
}

const Lattice* like(const Lattice& lattice, const std::vector<Lattice>& others) {
  const auto found =
      std::ranges::find_if(others, [&](const Lattice& other) { return same_cells(lattice, other); });
  return found == others.end() ? nullptr : &*found;
}

bool is_free(const Lattice& place, const std::vector<Lattice>& taken) {
  return std::ranges::none_of(taken, [&](const Lattice& other) { return overlap(place, other); });
}

/// Lattices that are not quite clear and that the second look doesn't lead with.
void drop_unconfirmed(std::vector<Looked>& first, const std::vector<Looked>& second) {
  std::vector<Lattice> there = lattices_in(second);
  std::ranges::copy(guesses_in(second), std::back_inserter(there));
  for (Looked& looked : first)
    for (Sight& sight : looked.sights)
      if (std::erase_if(sight.lattices,
                        [&](const Lattice& lattice) { return !is_clear(lattice) && !like(lattice, there); }))
        sight.trouble = unclear({}, false);
}

/// What a sight's guess comes to where the second look leads with it too.
void accept_agreed(Sight& sight, const std::vector<Lattice>& there, const std::vector<Lattice>& known,
                   const PhotoSenses& photo) {
  std::erase_if(sight.guesses, [&](const Lattice& guess) {
    const Lattice* other = like(guess, there);
    if (!other || !is_free(guess, known)) return false;
    Lattice agreed = guess;
    agreed.fit = chance_of_both(guess.fit, other->fit) * chance_of_one(guess, photo);
    if (!is_likely(agreed) || has_hidden_end(agreed, photo)) return false;
    sight.lattices.push_back(agreed);
    return true;
  });
  if (sight.guesses.empty() && !sight.lattices.empty()) sight.trouble.reset();
}

/// Trays that only the second look makes out, unless the first saw another one there, but not its end.
void add_new(std::vector<Looked>& first, const std::vector<Looked>& second) {
  std::vector<Lattice> known = lattices_in(first);
  std::ranges::copy_if(guesses_in(first), std::back_inserter(known), is_likely);
  for (const Looked& looked : second)
    for (const Sight& sight : looked.sights)
      for (const Lattice& lattice : sight.lattices) {
        if (!is_free(lattice, known)) continue;
        for (Looked& place : first)
          if (!is_open(looked) && (lies_in(middle_cell(lattice), place.outline) ||
                                   lies_in(middle_of(place.outline), outline_of(lattice))))
            for (Sight& open : place.sights)
              if (is_open(open)) open.trouble.reset();
        first.push_back({outline_of(lattice), {Sight{{lattice}}}});
      }
}

bool is_sure_of_another(const Sight& sight, const Hints& hints) {
  return is_open(sight) && sight.leading && is_sure(*sight.leading) &&
         !is_as_stated(layout_of(*sight.leading), hints);
}

/// Where the second look is sure of a tray, though not as stated, its word counts, not the first's on parts
/// of it.
void take_clearer_trouble(std::vector<Looked>& first, const std::vector<Looked>& second, const Hints& hints) {
  for (const Looked& looked : second) {
    if (!std::ranges::all_of(looked.sights, [&](const Sight& s) { return is_sure_of_another(s, hints); }))
      continue;
    if (std::erase_if(first, [&](const Looked& place) {
          return std::ranges::all_of(place.sights, [](const Sight& s) { return is_open(s); }) &&
                 lies_in(middle_of(place.outline), looked.outline);
        }))
      first.push_back(looked);
  }
}

}  // namespace

bool is_open(const Looked& looked) {
  return std::ranges::any_of(looked.sights, [](const Sight& sight) { return is_open(sight); });
}

std::vector<Looked> look_through(const LatticeMaps& maps, const Hints& hints, const PhotoSenses& photo) {
  std::vector<Looked> all;
  for (const TrayQuad& quad : find_tray_quads(maps))
    all.push_back(
        {outline_in_photo(quad, maps), sights_in(maps, quad, hints, photo), !quad.cut_side.empty()});
  return all;
}

bool wants_second_look(const std::vector<Looked>& first, const Hints& hints) {
  return first.empty() || std::ranges::any_of(first, [](const Looked& looked) { return is_open(looked); }) ||
         (!hints.rows && !std::ranges::all_of(lattices_in(first), is_clear));
}

std::vector<Looked> both_looks(std::vector<Looked> first, const std::vector<Looked>& second,
                               const Hints& hints, const PhotoSenses& photo) {
  if (!hints.rows) drop_unconfirmed(first, second);
  add_new(first, second);
  take_clearer_trouble(first, second, hints);
  if (hints.rows || !photo.ends_of) return first;
  const std::vector<Lattice> there = guesses_in(second);
  for (Looked& looked : first)
    for (Sight& sight : looked.sights) accept_agreed(sight, there, lattices_in(first), photo);
  return first;
}

}  // namespace braird::vision
