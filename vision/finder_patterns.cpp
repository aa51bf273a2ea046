// SPDX-License-Identifier: Apache-2.0
#include "vision/finder_patterns.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <vector>

namespace braird::vision {
namespace {

struct FinderPattern {
  cv::Point middle;
  int size = 0;  ///< px, all seven modules
};

using Runs = std::array<int, 5>;  // px of black, white, black, white, black

/// The size of the pattern that these runs lie across; 0 if they aren't 1:1:3:1:1 to within so many modules.
int size_across(const Runs& runs, double leeway = 0.5) {
  constexpr Runs kModules = {1, 1, 3, 1, 1};
  const int size = std::accumulate(runs.begin(), runs.end(), 0);
  const double module = size / 7.0;
  for (std::size_t at = 0; at < runs.size(); ++at)
    if (std::abs(runs[at] - kModules[at] * module) > leeway * module + 0.5) return 0;
  return module < 1 ? 0 : size;
}

/// Along a line through the middle of a pattern, within a frame; `place` moves to the middle of its runs.
Runs runs_along(const cv::Mat& picture, const cv::Rect& frame, cv::Point step, cv::Point& place) {
  Runs runs = {};
  cv::Point back = place, on = place + step;
  for (const std::size_t part : {0, 1, 2}) {
    const unsigned char colour = part == 1 ? 255 : 0;
    for (; frame.contains(back) && picture.at<unsigned char>(back) == colour; back -= step) ++runs[2 - part];
    for (; frame.contains(on) && picture.at<unsigned char>(on) == colour; on += step) ++runs[2 + part];
  }
  place = back + step * (1 + runs[0] + runs[1] + runs[2] / 2);
  return runs;
}

/// The pattern around a place that looks like the middle of one of that size along its row.
std::optional<FinderPattern> pattern_around(const cv::Mat& picture, cv::Point place, int size) {
  constexpr double kLeewayAslant = 0.75;
  const cv::Point reach(2 * size, 2 * size);
  const cv::Rect frame = cv::Rect(place - reach, place + reach) & cv::Rect({}, picture.size());
  const int height = size_across(runs_along(picture, frame, {0, 1}, place));
  if (height == 0) return {};
  const int width = size_across(runs_along(picture, frame, {1, 0}, place));
  if (width == 0) return {};
  for (const cv::Point step : {cv::Point(1, 1), cv::Point(1, -1)})
    if (cv::Point middle = place; size_across(runs_along(picture, frame, step, middle), kLeewayAslant) == 0)
      return {};
  return FinderPattern{place, (width + height) / 2};
}

/// Where a row changes colour, its ends among them.
std::vector<int> changes_in(const cv::Mat& row) {
  std::vector<int> changes = {0};
  const auto* pixels = row.ptr<unsigned char>();
  for (int x = 1; x < row.cols; ++x)
    if (pixels[x] != pixels[x - 1]) changes.push_back(x);
  changes.push_back(row.cols);
  return changes;
}

/// Of each pattern, how many stand within a code's quiet margin of its corner, itself among them.
std::vector<int> crowds_of(const std::vector<FinderPattern>& patterns, cv::Size picture) {
  constexpr int kGrain = 4;  // px
  cv::Mat counts = cv::Mat::zeros(picture / kGrain + cv::Size(1, 1), CV_8U), sums;
  for (const FinderPattern& one : patterns) ++counts.at<unsigned char>(one.middle / kGrain);
  cv::integral(counts, sums);
  std::vector<int> crowds;
  for (const FinderPattern& one : patterns) {
    const cv::Point reach = cv::Point(1, 1) * one.size, from = (one.middle - reach) / kGrain,
                    to = (one.middle + reach) / kGrain + cv::Point(1, 1);
    const cv::Rect box = cv::Rect(from, to) & cv::Rect({}, counts.size());
    crowds.push_back(sums.at<int>(box.br()) + sums.at<int>(box.tl()) - sums.at<int>(box.y, box.br().x) -
                     sums.at<int>(box.br().y, box.x));
  }
  return crowds;
}

/// What looks like one in a black and white picture.
std::vector<FinderPattern> finder_patterns(const cv::Mat& picture) {
  constexpr int kRowStep = 3;  // at 1 px a module as many rows run through a pattern's middle
  std::vector<FinderPattern> patterns;
  cv::Mat known = cv::Mat::zeros(picture.size(), CV_8U);
  for (int y = kRowStep - 1; y < picture.rows; y += kRowStep) {
    const std::vector<int> x = changes_in(picture.row(y));
    for (std::size_t at = 0; at + 5 < x.size(); ++at) {
      if (picture.at<unsigned char>(y, x[at]) != 0) continue;
      const Runs runs = {x[at + 1] - x[at], x[at + 2] - x[at + 1], x[at + 3] - x[at + 2],
                         x[at + 4] - x[at + 3], x[at + 5] - x[at + 4]};
      const cv::Point middle((x[at + 2] + x[at + 3]) / 2, y);
      const int size = size_across(runs);
      if (size == 0 || known.at<unsigned char>(middle) != 0) continue;
      const auto pattern = pattern_around(picture, middle, size);
      if (!pattern) continue;
      cv::circle(known, pattern->middle, pattern->size / 2, 255, cv::FILLED);
      patterns.push_back(*pattern);
    }
  }
  return patterns;
}

}  // namespace

void thin_out_finder_patterns(cv::Mat& picture, std::size_t most) {
  constexpr int kRounds = 8;  // what is spoiled may make another one beside it
  constexpr int kCrowd = 3;
  for (int round = 0; round < kRounds; ++round) {
    const std::vector<FinderPattern> patterns = finder_patterns(picture);
    const std::vector<int> crowds = crowds_of(patterns, picture.size());
    std::vector<std::size_t> order(patterns.size());
    std::iota(order.begin(), order.end(), 0);
    std::ranges::stable_sort(order, {}, [&](std::size_t at) { return crowds[at]; });
    const auto apart = std::ranges::count_if(crowds, [](int crowd) { return crowd < kCrowd; });
    const std::size_t kept = std::min(most, static_cast<std::size_t>(apart));
    if (kept == patterns.size()) return;
    for (std::size_t at = kept; at < order.size(); ++at) {
      const FinderPattern& one = patterns[order[at]];
      const cv::Point reach = cv::Point(1, 1) * (one.size * 2 / 7 + 1);
      cv::rectangle(picture, one.middle - reach, one.middle + reach, 255, cv::FILLED);
    }
  }
  if (finder_patterns(picture).size() > most) picture.setTo(255);
}

}  // namespace braird::vision
