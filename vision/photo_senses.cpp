// SPDX-License-Identifier: Apache-2.0
#include "vision/photo_senses.h"

#include "vision/butted.h"
#include "vision/closer.h"
#include "vision/seams_within.h"
#include "vision/sheet.h"
#include "vision/tray_ends.h"

namespace braird::vision {
namespace {

/// A picture of a lattice.
struct View {
  cv::Mat bgr;
  cv::Rect frame;  ///< its part that shows something
  Lattice lattice;
};

/// The photo, or its half if that shows all that a sheet would.
View view_of(const Lattice& lattice, const cv::Mat& bgr, const LatticeMaps& maps) {
  const cv::Rect frame = frame_in_photo(maps, bgr.size());
  const Lattice half = scaled(lattice, 0.5);
  const double rows = lattice.rows, cols = lattice.cols;
  const bool enough = !maps.half.empty() && pitch_at(half, {0, 0}) >= kFinestOnSheet &&
                      pitch_at(half, {cols, 0}) >= kFinestOnSheet &&
                      pitch_at(half, {0, rows}) >= kFinestOnSheet &&
                      pitch_at(half, {cols, rows}) >= kFinestOnSheet;
  if (!enough) return {bgr, frame, lattice};
  const cv::Point first((frame.x + 1) / 2, (frame.y + 1) / 2), last(frame.br() / 2);
  return {maps.half, cv::Rect(first, last), half};
}

std::vector<SeamWithin> seams_in(const View& view, const Hints& hints) {
  const auto& [bgr, frame, lattice] = view;
  const Butted butted = may_be_butted(lattice, hints);
  if (butted == Butted::no) return {};
  const bool hardly = butted == Butted::hardly;
  if (hardly && !end_at_any(bgr, frame, lattice, lines_of_listed(lattice, hints))) return {};
  return seams_within(bgr, frame, lattice);
}

}  // namespace

PhotoSenses senses_of(const cv::Mat& bgr, const LatticeMaps& maps, const Hints& hints, const Trace& trace) {
  return {.frame = frame_in_photo(maps, bgr.size()),
          .look_closer = [bgr, trace](const LatticeMaps& seen, const TrayQuad& quad,
                                      double beside) { return closer_look(bgr, seen, quad, beside, trace); },
          .look_again = [bgr, &maps, trace] { return look_again(bgr, maps, trace); },
          .seams_in = [bgr, &maps, &hints](
                          const Lattice& lattice) { return seams_in(view_of(lattice, bgr, maps), hints); },
          .ends_of =
              [bgr, &maps, trace](const Lattice& lattice) {
                const View view = view_of(lattice, bgr, maps);
                return chances_of_ends(view.bgr, view.frame, view.lattice, trace);
              }};
}

}  // namespace braird::vision
