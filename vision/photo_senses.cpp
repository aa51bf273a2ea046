// SPDX-License-Identifier: Apache-2.0
#include "vision/photo_senses.h"

#include <algorithm>

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

bool shows_all_of_sheets(const Lattice& lattice) {
  const double rows = lattice.rows, cols = lattice.cols;
  return pitch_at(lattice, {0, 0}) >= kFinestOnSheet && pitch_at(lattice, {cols, 0}) >= kFinestOnSheet &&
         pitch_at(lattice, {0, rows}) >= kFinestOnSheet && pitch_at(lattice, {cols, rows}) >= kFinestOnSheet;
}

/// The photo at this size.
View scaled(const View& photo, const cv::Mat& bgr) {
  const double scale = 1.0 * std::max(bgr.rows, bgr.cols) / std::max(photo.bgr.rows, photo.bgr.cols);
  const cv::Point first(cvCeil(photo.frame.x * scale), cvCeil(photo.frame.y * scale)),
      last(cvRound(photo.frame.br().x * scale), cvRound(photo.frame.br().y * scale));
  return {bgr, cv::Rect(first, last) & cv::Rect({0, 0}, bgr.size()), scaled(photo.lattice, scale)};
}

/// The photo, at the smallest size that is there and shows all that a sheet would.
View view_of(const Lattice& lattice, const cv::Mat& bgr, const LatticeMaps& maps) {
  const View photo{bgr, frame_in_photo(maps, bgr.size()), lattice};
  View view = photo;
  for (const cv::Mat& smaller : maps.smaller) {
    const View other = scaled(photo, smaller);
    if (!shows_all_of_sheets(other.lattice)) break;
    view = other;
  }
  return view;
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
          .look_closer =
              [bgr, trace](const LatticeMaps& seen, const TrayQuad& quad, double beside) {
                return closer_look(bgr, seen, outline_in_photo(quad, seen), beside, trace);
              },
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
