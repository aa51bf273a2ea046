// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/noise.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace braird::painter {

cv::Mat white(cv::Size size, int type, Random& random) {
  cv::Mat noise(size, type);
  cv::RNG(random.bits()).fill(noise, cv::RNG::NORMAL, cv::Scalar::all(0), cv::Scalar::all(1));
  return noise;
}

cv::Mat1f hills(cv::Size size, cv::Size2d grain_px, Random& random) {
  const double gx = std::max(1.0, grain_px.width), gy = std::max(1.0, grain_px.height);
  const cv::Size coarse(static_cast<int>(size.width / gx) + 2, static_cast<int>(size.height / gy) + 2);
  const cv::Mat noise = white(coarse, CV_32F, random);
  if (gx == 1 && gy == 1) return noise(cv::Rect(cv::Point(), size));
  cv::Mat1f fine;
  const cv::Size whole(cvCeil(coarse.width * gx), cvCeil(coarse.height * gy));
  cv::resize(noise, fine, whole, 0, 0, std::max(gx, gy) < 3 ? cv::INTER_LINEAR : cv::INTER_CUBIC);
  const cv::Point shift(static_cast<int>(random.uniform() * gx), static_cast<int>(random.uniform() * gy));
  return fine(cv::Rect(shift, size)) * 1.3;
}

cv::Mat1f fractal(cv::Size size, cv::Size2d grain_px, int octaves, double rough, Random& random) {
  cv::Mat1f sum = hills(size, grain_px, random);
  double weight = 1, power = 1;
  for (int octave = 1; octave < octaves; ++octave) {
    grain_px *= 0.5;
    weight *= rough;
    power += weight * weight;
    if (std::max(grain_px.width, grain_px.height) < 0.7) break;
    cv::scaleAdd(hills(size, grain_px, random), weight, sum, sum);
  }
  return sum * (1 / std::sqrt(power));
}

}  // namespace braird::painter
