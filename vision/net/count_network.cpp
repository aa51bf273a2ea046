// SPDX-License-Identifier: Apache-2.0
#include <numeric>
#include <opencv2/core.hpp>

#include "vision/net/judge_cells.h"
#include "vision/net/networks.h"
#include "vision/net/two_looks.h"
#include "vision/parallel.h"

namespace braird::vision {
namespace {

constexpr Flip kFlips[kMostLooks] = {{false, false}, {true, true}, {false, true}, {true, false}};

Weights member(Model model, std::size_t number) {
  return model_weights(model, "nets." + std::to_string(number) + ".");
}

std::vector<Weights> committee_of(Model model) {
  std::vector<Weights> committee;
  for (Weights next; !(next = member(model, committee.size())).empty();) committee.push_back(std::move(next));
  return committee;
}

cv::Mat chances_of(const Layers& net, const Seen& seen, std::vector<float>& common) {
  const Shrunk shrunk = shrunk_maps(net, seen, false);
  const Maps body = body_of(net, shrunk.small);
  return flipped(judged(net, gathered(net, body), common), seen.flip);
}

constexpr int kHalfCells = 4;  // of a cell with its margin

/// These cells side by side, each with one cell of margin: of a tray, or of what is told of it.
cv::Mat strip_of(const cv::Mat& picture, int half_cell, const std::vector<cv::Point>& places) {
  const int side = kHalfCells * half_cell;
  cv::Mat strip(side, side * static_cast<int>(places.size()), picture.type());
  for (std::size_t i = 0; i < places.size(); ++i) {
    const cv::Rect from(half_cell * places[i].x, 2 * half_cell * places[i].y, side, side);
    picture(from).copyTo(strip.colRange(side * static_cast<int>(i), side * (static_cast<int>(i) + 1)));
  }
  return strip;
}

}  // namespace

cv::Mat count_chances(Model model, const cv::Mat& tray, const cv::Mat& sides, int looks) {
  const cv::Scalar light = light_of(tray);
  const Weights closer = model_weights(model, "near.");
  const std::vector<Weights> committee = committee_of(model);
  std::vector<int> turns(static_cast<std::size_t>(looks));
  std::iota(turns.begin(), turns.end(), 0);
  const auto chances = each(turns, [&](int look) {
    const Layers net = network_for(committee[static_cast<std::size_t>(look) % committee.size()], light);
    const Flip& flip = kFlips[look];
    const Seen seen{tray, light, flip, flipped_sides(sides, flip)};
    std::vector<float> common;
    return closer.empty() ? chances_of(net, seen, common) : chances_by_two(net, closer, seen);
  });
  cv::Mat sum = cv::Mat::zeros(chances[0].size(), chances[0].type());
  for (const cv::Mat& seen : chances) sum += seen;
  sum.convertTo(sum, CV_32F, 1.0 / looks);
  return sum;
}

cv::Mat count_chances(Model model, const cv::Mat& tray, const cv::Mat& sides, const Doubts& doubts) {
  const cv::Scalar light = light_of(tray);
  const Layers net = network_for(member(model, 0), light);
  std::vector<float> common;
  cv::Mat chances = chances_of(net, {tray, light, kFlips[0], sides}, common);
  const std::vector<cv::Point> places = doubts(chances);
  if (places.empty()) return chances;
  constexpr int kTold = 3;  // places of `sides` half a cell
  const cv::Mat strip = strip_of(tray, kTold * tray.rows / sides.rows, places),
                told = flipped_sides(strip_of(sides, kTold, places), kFlips[1]);
  const cv::Mat again = chances_of(net, {strip, light, kFlips[1], told}, common);
  for (std::size_t i = 0; i < places.size(); ++i) {
    cv::Mat place = chances(cv::Rect(places[i], cv::Size(1, 1)));
    cv::addWeighted(place, 0.5, again.col(kHalfCells * static_cast<int>(i)), 0.5, 0, place);
  }
  return chances;
}

}  // namespace braird::vision
