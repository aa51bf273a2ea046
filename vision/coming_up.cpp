// SPDX-License-Identifier: Apache-2.0
#include "vision/coming_up.h"

#include <algorithm>
#include <iterator>
#include <stdexcept>

#include "vision/cell_chances.h"
#include "vision/lattice_maps.h"
#include "vision/lattice_refine.h"
#include "vision/looks.h"
#include "vision/net/networks.h"

namespace braird::vision {
namespace {

constexpr double kNearEnough = 0.05;  // pitches, as far as found lattices may be off anyhow

std::vector<Meeting> meetings_with(const TrayInPhoto& seen, const Lattice& lattice) {
  std::vector<Meeting> meetings;
  for (const Cell& cell : seen.tray.cells) {
    const Point at = scaled(cell.centre_px, seen.photo.scale);
    meetings.push_back(
        {tray_point(lattice, cell.row, cell.col), {at.x, at.y}, 1, seen.tray.pitch_px * seen.photo.scale});
  }
  return meetings;
}

double farthest_off(const Lattice& lattice, const std::vector<Meeting>& meetings) {
  double farthest = 0;
  for (const Meeting& m : meetings) {
    const double off = cv::norm(photo_point(lattice, m.tray) - m.seen) / m.pitch;
    if (!(off <= farthest)) farthest = off;  // also where it is no number
  }
  return farthest;
}

struct Laid {
  Lattice lattice;
  double off;  // pitches
};

Laid laid_through(const TrayInPhoto& seen, double odd_row_shift) {
  Lattice lattice;
  lattice.rows = seen.tray.layout.rows, lattice.cols = seen.tray.layout.cols;
  lattice.odd_row_shift = odd_row_shift;
  lattice.lens = straight_lens(seen.photo.bgr.size());
  lattice.fit = seen.tray.fit;
  const auto meetings = meetings_with(seen, lattice);
  lattice = follow_creep(meetings, lay_through(meetings, lattice));
  return {lattice, farthest_off(lattice, meetings)};
}

}  // namespace

Lattice lattice_through(const TrayInPhoto& seen) {
  const bool staggered = seen.tray.layout.lattice == LatticeKind::staggered;
  Laid laid = laid_through(seen, staggered ? 0.5 : 0);
  if (staggered)  // a census does not say which way
    if (const Laid other = laid_through(seen, -0.5); other.off < laid.off) laid = other;
  if (!(laid.off <= kNearEnough)) throw std::invalid_argument("no lattice goes through its cells");
  return laid.lattice;
}

std::vector<CountChances> count_coming_up(const TrayInPhoto& seen, const Hints& hints) {
  const Lattice lattice = lattice_through(seen);
  const FlatTray flat = lay_flat(seen.photo.bgr, lattice, kCountedCell);
  const cv::Mat chances = mean_of_looks(static_cast<int>(std::size(kLooks)), [&](int look) {
    const FlatTray its = flipped(flat, kLooks[look]);
    return count_chances(Model::coming_up, its.bgr, sides(its.lean, hints), look);
  });
  return chances_of_cells(chances, lattice);
}

Tray with_counts(Tray tray, const std::vector<CountChances>& chances) {
  for (std::size_t at = 0; at < tray.cells.size(); ++at)
    tray.cells[at] = with_chances(std::move(tray.cells[at]), chances.at(at));
  return tray;
}

}  // namespace braird::vision
