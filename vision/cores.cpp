// SPDX-License-Identifier: Apache-2.0
#include "vision/cores.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace braird::vision {
namespace {

constexpr double kSmallestCore = 0.001;  // share of the map
/// A region goes on for three quarters of a pitch beyond its core; between two cores lie two pitches and two
/// rims.
constexpr double kCoreReach = 0.36;

/// The region's cores, each 0 in a map of 255.
std::vector<cv::Mat> cores_of(const cv::Mat& within, const cv::Mat& core) {
  cv::Mat bright = (core > 0.5) & within, labels, stats, middles;
  cv::morphologyEx(bright, bright, cv::MORPH_OPEN, cv::Mat::ones(3, 3, CV_8U));
  const int count = cv::connectedComponentsWithStats(bright, labels, stats, middles, 4);
  std::vector<cv::Mat> cores;
  for (int i = 1; i < count; ++i)
    if (stats.at<int>(i, cv::CC_STAT_AREA) > kSmallestCore * static_cast<double>(core.total()))
      cores.push_back(labels != i);
  return cores;
}

}  // namespace

std::vector<Outline> told_apart(const Outline& region, const cv::Mat& core) {
  cv::Mat within = cv::Mat::zeros(core.size(), CV_8U);
  cv::drawContours(within, std::vector<Outline>{region}, 0, 255, cv::FILLED);
  const std::vector<cv::Mat> cores = cores_of(within, core);
  if (cores.size() < 2) return {region};
  cv::Mat nearest(core.size(), CV_32F, cv::Scalar(1e9)), next = nearest.clone();
  for (const cv::Mat& one : cores) {
    cv::Mat distance;
    cv::distanceTransform(one, distance, cv::DIST_L2, cv::DIST_MASK_5);
    next = cv::min(next, cv::max(nearest, distance));
    nearest = cv::min(nearest, distance);
  }
  within.setTo(0, nearest > kCoreReach / (1 - kCoreReach) * next);
  std::vector<Outline> parts;
  cv::findContours(within, parts, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  return parts;
}

}  // namespace braird::vision
