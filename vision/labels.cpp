// SPDX-License-Identifier: Apache-2.0
#include "vision/labels.h"

#define ZX_USE_UTF8 1  // its texts as std::string
#include <ZXing/ReadBarcode.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>

#include "vision/black_and_white.h"
#include "vision/finder_patterns.h"
#include "vision/numbering.h"

namespace braird::vision {
namespace {

constexpr std::size_t kMostFinderPatterns = 250;  // all triples of 300 are tried in 0.3 s, of 600 in 1.7 s
constexpr double kFarthest = 3;                   // cells from a tray's edge to the middle of its label
constexpr double kClearlyNearer = 0.8;  // of the distances to the nearest and the second nearest corner

/// Undoes a phone's blur: of 675 drawn labels with modules of 3 to 6 px 97.9 % are read as they are, 99.7 %
/// so.
cv::Mat sharpened(const cv::Mat& bgr) {
  constexpr int kBand = 64, kReach = 8;  // rows, and how many beyond them the blur takes in
  cv::Mat result(bgr.size(), CV_8U), grey, smooth;
  for (int top = 0; top < bgr.rows; top += kBand) {
    const cv::Range rows(top, std::min(bgr.rows, top + kBand));
    const cv::Range seen(std::max(0, rows.start - kReach), std::min(bgr.rows, rows.end + kReach));
    cv::cvtColor(bgr.rowRange(seen), grey, cv::COLOR_BGR2GRAY);
    cv::GaussianBlur(grey, smooth, {}, 1.5);
    const cv::Range kept(rows.start - seen.start, rows.end - seen.start);
    cv::addWeighted(grey.rowRange(kept), 2.5, smooth.rowRange(kept), -1.5, 0, result.rowRange(rows));
  }
  return result;
}

Point to_point(ZXing::PointI p) {
  return {static_cast<double>(p.x), static_cast<double>(p.y)};
}

cv::Point2d middle_of(const SeenLabel& label) {
  cv::Point2d sum;
  for (const Point& corner : label.corners_px) sum += cv::Point2d(corner.x, corner.y);
  return sum / 4;
}

/// Cells from a place to the tray's rim; 0 on the tray.
double distance_to(const Lattice& lattice, cv::Point2d photo) {
  const cv::Rect2d hull = hull_of(lattice);
  const cv::Point2d at = tray_from_photo(lattice, photo);
  const double beside = std::max({hull.x - at.x, at.x - hull.x - hull.width, 0.0}),
               beyond = std::max({hull.y - at.y, at.y - hull.y - hull.height, 0.0});
  return std::hypot(beside, beyond);
}

/// All numberings that the stated rows allow: two for most trays, four for square ones.
std::vector<Lattice> numberings(const Lattice& found, const Hints& hints) {
  const Lattice lattice = with_stated_rows(found, hints);
  std::vector<Lattice> all = {lattice, half_turned(lattice)};
  const bool quarter = lattice.odd_row_shift == 0 && (!hints.rows || hints.rows == hints.cols);
  if (quarter)
    for (const Lattice& other : {quarter_turned(lattice), half_turned(quarter_turned(lattice))})
      all.push_back(other);
  return all;
}

/// Cells from the label to the first cell's centre.
double distance_to_first(const Lattice& numbering, const SeenLabel& label) {
  const cv::Point2d at = tray_from_photo(numbering, middle_of(label));
  return std::hypot(at.x, at.y);
}

/// How well the print's lines run along the rows, in their direction: 1 fully, -1 the other way.
double runs_along(const Lattice& numbering, const SeenLabel& label) {
  const auto at = [&](int corner) {
    const Point& p = label.corners_px[static_cast<std::size_t>(corner)];
    return tray_from_photo(numbering, {p.x, p.y});
  };
  const cv::Point2d line = at(1) - at(0);
  return line.x / std::max(1e-9, std::hypot(line.x, line.y));
}

}  // namespace

std::vector<SeenLabel> read_labels(const cv::Mat& bgr) {
  constexpr int kSmallestCode = 21;  // modules
  if (std::min(bgr.rows, bgr.cols) < kSmallestCode) return {};
  cv::Mat picture = black_and_white(sharpened(bgr));
  thin_out_finder_patterns(picture, kMostFinderPatterns);
  ZXing::DecodeHints hints;
  hints.setFormats(ZXing::BarcodeFormat::QRCode)
      .setTryRotate(false)
      .setTryDownscale(false)
      .setBinarizer(ZXing::Binarizer::BoolCast);
  std::vector<SeenLabel> labels;
  for (const ZXing::Result& found :
       ZXing::ReadBarcodes({picture.data, picture.cols, picture.rows, ZXing::ImageFormat::Lum,
                            static_cast<int>(picture.step)},
                           hints)) {
    if (!found.isValid()) continue;
    const auto label = read_label_text(found.text());
    if (!label) continue;
    const auto& place = found.position();
    labels.push_back(
        {*label, {to_point(place[0]), to_point(place[1]), to_point(place[2]), to_point(place[3])}, {}, {}});
  }
  return labels;
}

std::vector<SeenLabel> read_labels(const Photo& photo) {
  std::vector<SeenLabel> labels = read_labels(photo.bgr);
  for (SeenLabel& label : labels)
    for (Point& corner : label.corners_px) corner = scaled(corner, 1 / photo.scale);
  return labels;
}

std::vector<int> assign_labels(const std::vector<Lattice>& lattices, const std::vector<SeenLabel>& labels) {
  std::vector<int> label_of(lattices.size(), -1);
  std::vector<double> distance(lattices.size(), kFarthest);
  for (std::size_t at = 0; at < labels.size(); ++at) {
    std::size_t nearest = lattices.size();
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t tray = 0; tray < lattices.size(); ++tray)
      if (const double cells = distance_to(lattices[tray], middle_of(labels[at])); cells < least) {
        least = cells;
        nearest = tray;
      }
    if (nearest == lattices.size() || least > distance[nearest]) continue;
    distance[nearest] = least;
    label_of[nearest] = static_cast<int>(at);
  }
  return label_of;
}

Lattice numbered_by_label(const Lattice& lattice, const SeenLabel& label, const Hints& hints) {
  std::vector<Lattice> all = numberings(lattice, hints);
  std::ranges::sort(all, {}, [&](const Lattice& one) { return distance_to_first(one, label); });
  if (distance_to_first(all[0], label) < kClearlyNearer * distance_to_first(all[1], label)) return all[0];
  return runs_along(all[1], label) > runs_along(all[0], label) ? all[1] : all[0];
}

}  // namespace braird::vision
