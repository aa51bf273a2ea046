// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "vision/geometry.h"

namespace braird::vision {

/// Share by which pitches of like trays may differ under perspective.
constexpr double kPitchAlike = 0.1;

/// Whether both have cells of one kind and, give or take that share, one pitch.
bool cells_alike(const Lattice& a, const Lattice& b, double most = kPitchAlike);

/// The lattices, of those with the same cells the one with the highest fit: a tray seen from its own place
/// and from a neighbour's is counted once.
std::vector<Lattice> each_once(const std::vector<Lattice>& lattices);

/// Two trays that seem of one make, but for a row or column or two more: trays laid side by side mostly are
/// of one make, so one of the two is hardly right (a hose hides its last row). Their places among `lattices`.
std::optional<std::pair<std::size_t, std::size_t>> at_odds(const std::vector<Lattice>& lattices);

/// A tray twice or three times as long as another of the same width and pitch: it is hardly one tray, but
/// several that touch. Its place among `lattices`, and the other's.
std::optional<std::pair<std::size_t, std::size_t>> several_in_one(const std::vector<Lattice>& lattices);

/// Whether a layout makes two or three trays of the list side by side and is none, so that these may touch,
/// though no seam shows. Square ones only if three times as long as wide, or longer: trays are hardly that
/// long (common practice, no source); from three and a half times on be they listed or not. Staggered ones,
/// between which hardly a rim stands, may show one cell more at each seam.
bool several_of_a_make(const Layout& layout, const std::vector<Layout>& known);

/// Whether the row beyond a side (0: first row, then clockwise) of a tray is another's.
bool goes_on_in(const Lattice& lattice, int side, const Lattice& other);

}  // namespace braird::vision
