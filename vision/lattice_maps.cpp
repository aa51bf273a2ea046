// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice_maps.h"

#include <opencv2/imgproc.hpp>

#include "vision/net/networks.h"
#include "vision/shrink.h"

namespace braird::vision {
namespace {

constexpr int kLongSide = 640;  // as in training
constexpr int kCloserSide = 1024;

cv::Mat sigmoid(const cv::Mat& logits) {
  cv::Mat result;
  cv::exp(-logits, result);
  return 1 / (1 + result);
}

/// One of the maps, whose pixels of 2 × 2 come as four channels of half its size.
cv::Mat map_of(const cv::Mat& output, int number, cv::Size size) {
  cv::Mat logits(2 * output.rows, 2 * output.cols, CV_32F);
  for (int y = 0; y < logits.rows; ++y) {
    const std::ptrdiff_t first = 4 * number + 2 * (y % 2);
    const float* from = output.ptr<float>(y / 2) + first;
    float* to = logits.ptr<float>(y);
    for (int x = 0; x < output.cols; ++x, from += output.channels(), to += 2)
      to[0] = from[0], to[1] = from[1];
  }
  return sigmoid(logits(cv::Rect({0, 0}, size)));
}

cv::Mat picture_of(const cv::Mat& map) {
  cv::Mat result;
  map.convertTo(result, CV_8U, 255);
  return result;
}

/// How many lines from the first on (from the last, if `backwards`) are of one plain colour.
int plain_lines(const cv::Mat& bgr, bool backwards) {
  constexpr double kPlain = 2.0;  // grey levels; the dimmest scene's noise is above
  cv::Scalar first, mean, spread;
  int lines = 0;
  for (; lines < bgr.rows; ++lines) {
    cv::meanStdDev(bgr.row(backwards ? bgr.rows - 1 - lines : lines), mean, spread);
    if (lines == 0) first = mean;
    if (cv::norm(spread) > kPlain || cv::norm(mean - first) > kPlain) break;
  }
  return lines < bgr.rows ? lines : 0;
}

cv::Rect shown_part(const cv::Mat& bgr) {
  const int top = plain_lines(bgr, false), bottom = plain_lines(bgr, true);
  if (top + bottom >= bgr.rows) return {{}, bgr.size()};
  const cv::Mat columns = bgr.rowRange(top, bgr.rows - bottom).t();
  const int left = plain_lines(columns, false), right = plain_lines(columns, true);
  if (left + right >= bgr.cols) return {{}, bgr.size()};
  return {left, top, bgr.cols - left - right, bgr.rows - top - bottom};
}

cv::Rect halved(const cv::Rect& r) {
  return {r.x / 2, r.y / 2, r.width / 2, r.height / 2};
}

/// Photos too dark or too blurred to see cells in. The bounds lie below (above) all but a few of the painted
/// scenes whose trays were found.
std::string fault_of(const cv::Mat& small) {
  constexpr double kDark = 22, kBlurred = 0.012;
  cv::Mat grey, edges;
  cv::cvtColor(small, grey, cv::COLOR_BGR2GRAY);
  cv::Laplacian(grey, edges, CV_32F);
  cv::Scalar mean, spread;
  cv::meanStdDev(edges, mean, spread);
  const double light = cv::mean(grey)[0];
  if (light < kDark) return "the photo is too dark to see a tray in; take it in daylight or nearer to a lamp";
  if (spread[0] / light < kBlurred)
    return "the photo is too blurred to see a tray in; hold still and let the camera focus";
  return "";
}

/// What the network says of a picture, at half its size.
LatticeMaps maps_of(const cv::Mat& picture, Model model) {
  const cv::Mat output = lattice_logits(picture, model);
  const cv::Size size(picture.cols / 2, picture.rows / 2);
  LatticeMaps maps;
  maps.region = map_of(output, 0, size);
  maps.core = map_of(output, 1, size);
  maps.centres = map_of(output, 2, size);
  maps.staggered = map_of(output, 3, size);
  maps.frame = {{0, 0}, size};
  return maps;
}

void show(const LatticeMaps& maps, const Trace& trace, const std::string& prefix) {
  if (!trace) return;
  trace(prefix + "region", picture_of(maps.region));
  trace(prefix + "core", picture_of(maps.core));
  trace(prefix + "centres", picture_of(maps.centres));
}

}  // namespace

Lens straight_lens(cv::Size size) {
  return {{(size.width - 1) / 2.0, (size.height - 1) / 2.0}, std::hypot(size.width, size.height) / 2, 0};
}

cv::Point2d in_photo(cv::Point2d place, const LatticeMaps& maps) {
  const Point p = scaled(Point{place.x, place.y}, 1 / maps.map_from_photo);
  return cv::Point2d(p.x, p.y) + maps.origin;
}

cv::Point2d on_maps(cv::Point2d photo_place, const LatticeMaps& maps) {
  const cv::Point2d off = photo_place - maps.origin;
  const Point p = scaled(Point{off.x, off.y}, maps.map_from_photo);
  return {p.x, p.y};
}

cv::Rect frame_in_photo(const LatticeMaps& maps, cv::Size photo) {
  // A pixel of the maps beside a bar may show some of it; without a bar, halving may have lost the last one.
  const auto within = [&](int first, int last, int on_maps, int in_photo) {
    const int from = first == 0 ? 0 : cvCeil((first + 1) / maps.map_from_photo);
    const int to = last >= on_maps - 1 ? in_photo : cvFloor((last - 1) / maps.map_from_photo);
    return cv::Range(std::min(from, in_photo - 1), std::clamp(to, std::min(from + 1, in_photo), in_photo));
  };
  const cv::Range x = within(maps.frame.x, maps.frame.br().x, maps.region.cols, photo.width),
                  y = within(maps.frame.y, maps.frame.br().y, maps.region.rows, photo.height);
  return {x.start, y.start, x.size(), y.size()};
}

static Lattice moved(Lattice lattice, cv::Point2d by) {
  lattice.photo_from_plane = cv::Matx33d(1, 0, by.x, 0, 1, by.y, 0, 0, 1) * lattice.photo_from_plane;
  lattice.lens.middle += by;
  return lattice;
}

Lattice in_photo(const Lattice& lattice, const LatticeMaps& maps) {
  return moved(scaled(lattice, 1 / maps.map_from_photo), maps.origin);
}

Lattice on_maps(const Lattice& photo_lattice, const LatticeMaps& maps) {
  return scaled(moved(photo_lattice, -maps.origin), maps.map_from_photo);
}

LatticeMaps read_lattice_maps(const cv::Mat& bgr, const Trace& trace) {
  const double scale = static_cast<double>(kLongSide) / std::max(bgr.rows, bgr.cols);
  const cv::Mat half = scale <= 0.5 && bgr.cols % 2 == 0 && bgr.rows % 2 == 0 ? shrunk(bgr, 0.5) : cv::Mat();
  const cv::Mat small = half.empty() ? shrunk(bgr, scale) : shrunk(half, 2 * scale);
  LatticeMaps maps = maps_of(small, Model::lattice);
  maps.smaller = half.empty() ? std::vector{small} : std::vector{half, small};
  maps.frame = halved(shown_part(small));
  maps.fault = fault_of(small);
  maps.map_from_photo = scale / 2;
  maps.lens = straight_lens(maps.region.size());
  show(maps, trace, "");
  return maps;
}

double map_scale_closer(cv::Size part) {
  return std::min(1.0, static_cast<double>(kCloserSide) / std::max(part.width, part.height)) / 2;
}

LatticeMaps look_closer(const cv::Mat& bgr, const cv::Rect& part, const Trace& trace) {
  const double scale = map_scale_closer(part.size());
  LatticeMaps maps = maps_of(shrunk(bgr(part), 2 * scale), Model::lattice_closer);
  maps.map_from_photo = scale;
  maps.origin = part.tl();
  maps.lens = straight_lens(bgr.size());
  maps.lens.middle -= maps.origin;
  maps.lens = scaled(maps.lens, maps.map_from_photo);
  show(maps, trace, "closer ");
  return maps;
}

LatticeMaps look_again(const cv::Mat& bgr, const LatticeMaps& first, const Trace& trace) {
  LatticeMaps maps = look_closer(bgr, {{0, 0}, bgr.size()}, trace);
  const cv::Rect shown = frame_in_photo(first, bgr.size());
  const auto on_map = [&](int in_photo) { return cvRound(in_photo * maps.map_from_photo); };
  maps.frame &= cv::Rect(cv::Point(on_map(shown.x), on_map(shown.y)),
                         cv::Point(on_map(shown.br().x), on_map(shown.br().y)));
  return maps;
}

}  // namespace braird::vision
