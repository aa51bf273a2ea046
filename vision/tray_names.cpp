// SPDX-License-Identifier: Apache-2.0
#include "vision/tray_names.h"

#include <algorithm>
#include <limits>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "vision/cell_marks.h"
#include "vision/marked_legend.h"

namespace braird::vision {
namespace {

constexpr double kNameHeights[] = {0.7, 0.5};  // of half a cell
constexpr int kDrawn = 5;                      // as bad to write on as so many pixels of a cell

using Polygon = std::vector<cv::Point2f>;

Polygon outline_of(const Tray& tray) {
  Polygon corners, hull;
  for (const Cell& cell : tray.cells) {
    const Frame frame = frame_of(tray, cell);
    for (const int x : {-1, 1})
      for (const int y : {-1, 1}) corners.push_back(frame.at(x, y));
  }
  cv::convexHull(corners, hull);
  return hull;
}

/// How bad it is to write on each pixel: worst on what is drawn, bad on cells, 0 elsewhere.
cv::Mat taken_places(const cv::Mat& picture, const cv::Mat& bgr, const std::vector<Polygon>& outlines) {
  cv::Mat taken(picture.size(), CV_8U, cv::Scalar(0)), change, unchanged;
  for (const Polygon& outline : outlines) {
    const std::vector<cv::Point> corners(outline.begin(), outline.end());
    cv::fillConvexPoly(taken, corners, 1);
  }
  cv::absdiff(picture, bgr, change);
  cv::inRange(change, cv::Scalar::all(0), cv::Scalar::all(0), unchanged);
  taken.setTo(kDrawn, unchanged == 0);
  return taken;
}

int sum_within(const cv::Mat& integral, const cv::Rect& box) {
  return integral.at<int>(box.y, box.x) + integral.at<int>(box.y + box.height, box.x + box.width) -
         integral.at<int>(box.y, box.x + box.width) - integral.at<int>(box.y + box.height, box.x);
}

/// Whether all of this place lies nearer to its own tray than to any other.
bool beside(const cv::Rect& place, const Polygon& own, const std::vector<Polygon>& outlines) {
  const cv::Point2f first = place.tl(), last = place.br();
  const Polygon corners = {first, {last.x, first.y}, last, {first.x, last.y}};
  return std::ranges::all_of(corners, [&](const cv::Point2f& corner) {
    const double to_own = cv::pointPolygonTest(own, corner, true);
    return std::ranges::all_of(
        outlines, [&](const Polygon& other) { return cv::pointPolygonTest(other, corner, true) <= to_own; });
  });
}

/// Where a box of this size may stand around the tray, within the picture.
cv::Rect room_around(const Polygon& own, cv::Size box, cv::Size picture) {
  const int reach = box.width + 4 * box.height;
  const cv::Rect tray = cv::boundingRect(own);
  const cv::Rect around(tray.x - reach, tray.y - reach, tray.width + 2 * reach, tray.height + 2 * reach);
  return around & cv::Rect({0, 0}, picture);
}

struct Place {
  cv::Rect box;
  int taken = std::numeric_limits<int>::max();  ///< 0: free
};

/// The free place nearest to the tray's middle; where none is free, the one with least beneath it.
Place place_for(cv::Size box, const cv::Mat& taken, const Polygon& own,
                const std::vector<Polygon>& outlines) {
  cv::Mat integral;
  cv::integral(taken, integral);
  const cv::Rect room = room_around(own, box, taken.size()), tray = cv::boundingRect(own);
  const cv::Point middle = (tray.tl() + tray.br()) / 2;
  const int step = std::max(1, box.height / 6);
  Place best{{middle - cv::Point(box / 2), box}};
  double least = 0;
  for (int y = room.y; y + box.height <= room.br().y; y += step)
    for (int x = room.x; x + box.width <= room.br().x; x += step) {
      const Place place{{{x, y}, box}, sum_within(integral, {{x, y}, box})};
      const double far = cv::norm((place.box.tl() + place.box.br()) / 2 - middle);
      if (std::pair(place.taken, far) < std::pair(best.taken, least) && beside(place.box, own, outlines))
        best = place, least = far;
    }
  return best;
}

/// Smaller where there is no room; gives the place.
cv::Rect write_name(const Pen& pen, const std::string& name, const cv::Mat& taken, const Polygon& own,
                    const std::vector<Polygon>& outlines) {
  Place place;
  double height = 0;
  for (const double tried : kNameHeights) {
    if (place.taken == 0) break;
    height = tried;
    const cv::Size words = pen.size_of(name, height);
    place = place_for({words.width + words.height, 2 * words.height}, taken, own, outlines);
  }
  pen.text(name, cv::Point2d(place.box.tl() + place.box.br()) / 2, height);
  return place.box;
}

}  // namespace

std::string tray_name(std::size_t index) {
  return "tray " + std::to_string(index + 1);
}

void write_tray_names(cv::Mat& picture, const cv::Mat& bgr, const std::vector<Tray>& trays) {
  std::vector<Polygon> outlines;
  outlines.reserve(trays.size());
  for (const Tray& tray : trays) outlines.push_back(outline_of(tray));
  cv::Mat taken = taken_places(picture, bgr, outlines);
  for (std::size_t i = 0; i < trays.size(); ++i) {
    const double least = legend_word_height(picture.cols) / kNameHeights[0];
    const Pen pen{picture, std::max(trays[i].pitch_px / 2, least)};
    const cv::Rect box = write_name(pen, tray_name(i), taken, outlines[i], outlines);
    taken(box & cv::Rect({0, 0}, taken.size())) = kDrawn;
  }
}

}  // namespace braird::vision
