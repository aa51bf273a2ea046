// SPDX-License-Identifier: Apache-2.0
#include "vision/tray_in_photo.h"

#include <stdexcept>

#include "vision/lattice_maps.h"
#include "vision/lattice_refine.h"

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

struct LaidThrough {
  Lattice lattice;
  double off;  // pitches
};

LaidThrough laid_through(const TrayInPhoto& seen, double odd_row_shift) {
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
  LaidThrough laid = laid_through(seen, staggered ? 0.5 : 0);
  if (staggered)  // a census does not say which way
    if (const LaidThrough other = laid_through(seen, -0.5); other.off < laid.off) laid = other;
  if (!(laid.off <= kNearEnough)) throw std::invalid_argument("no lattice goes through its cells");
  return laid.lattice;
}

}  // namespace braird::vision
