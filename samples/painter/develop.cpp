// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/develop.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "samples/painter/noise.h"

namespace braird::painter {
namespace {

constexpr float reference_px = 1600;  ///< blur is stated for a picture so wide

void expose(cv::Mat3f& light, float gain, const Finish& finish) {
  gain *= static_cast<float>(finish.exposure);
  const cv::Point2f middle(light.cols / 2.f, light.rows / 2.f);
  const float reach2 = middle.dot(middle);
  for (int y = 0; y < light.rows; ++y)
    for (int x = 0; x < light.cols; ++x) {
      const cv::Point2f d = cv::Point2f(x + 0.5f, y + 0.5f) - middle;
      const float loss = 1 - static_cast<float>(finish.vignette) * d.dot(d) / reach2;
      light(y, x) = light(y, x).mul(finish.cast) * (gain * loss);
    }
}

void blur(cv::Mat3f& light, const Finish& finish) {
  const double scale = std::max(light.cols, light.rows) / reference_px, sigma = finish.blur_px * scale;
  if (sigma > 0.2) cv::GaussianBlur(light, light, {}, sigma);
  const int length = static_cast<int>(finish.motion_px * scale);
  if (length < 2) return;
  cv::Mat1f kernel(2 * length + 1, 2 * length + 1, 0.0f);
  const cv::Point2d reach =
      cv::Point2d(std::cos(finish.motion_angle), std::sin(finish.motion_angle)) * (length / 2.0);
  const cv::Point2d middle(length, length);
  cv::line(kernel, middle - reach, middle + reach, 1, 1, cv::LINE_8);
  cv::filter2D(light, light, -1, kernel / cv::sum(kernel)[0]);
}

/// Shot and read noise; part of it is coloured blotches, as noise reduction leaves them.
void add_noise(cv::Mat3f& light, const Finish& finish, Random& random) {
  if (finish.noise <= 0) return;
  const cv::Mat1f grey = white(light.size(), CV_32F, random);
  cv::Mat3f tint(light.rows / 2 + 1, light.cols / 2 + 1);
  cv::RNG(random.bits()).fill(tint, cv::RNG::NORMAL, 0, 1);
  cv::resize(tint, tint, light.size(), 0, 0, cv::INTER_LINEAR);
  const float level = static_cast<float>(finish.noise), chroma = static_cast<float>(finish.chroma_noise);
  for (int y = 0; y < light.rows; ++y)
    for (int x = 0; x < light.cols; ++x) {
      cv::Vec3f& c = light(y, x);
      for (int n = 0; n < 3; ++n) {
        const float shot = std::sqrt(std::max(0.f, c[n]) * 0.18f + 0.004f) * 2.2f;
        c[n] += level * shot * (grey(y, x) + chroma * tint(y, x)[n]);
      }
    }
}

void smooth_noise(cv::Mat3f& light, const Finish& finish) {
  if (finish.smoothing <= 0.05) return;
  cv::Mat3f soft;
  cv::GaussianBlur(light, soft, {}, 1.2);
  const float share = static_cast<float>(finish.smoothing);
  for (int y = 0; y < light.rows; ++y)
    for (int x = 0; x < light.cols; ++x) {
      const cv::Vec3f gap = light(y, x) - soft(y, x);
      const float strong = std::abs(gap[1]) / (0.02f + 0.15f * std::max(0.f, soft(y, x)[1]));
      light(y, x) -= gap * (share / (1 + strong * strong));
    }
}

/// sRGB's curve with an S on top, as a table over linear light 0..2.
std::vector<float> tone_curve(double contrast) {
  std::vector<float> curve(4097);
  for (std::size_t i = 0; i < curve.size(); ++i) {
    const double linear = i / 2048.0;
    const double rolled = linear < 0.7 ? linear : 0.7 + 0.3 * (1 - std::exp(-(linear - 0.7) / 0.3));
    const double v = rolled <= 0.0031308 ? 12.92 * rolled : 1.055 * std::pow(rolled, 1 / 2.4) - 0.055;
    const double s = v * v * (3 - 2 * v);
    curve[i] = static_cast<float>(255 * (v + contrast * (s - v)));
  }
  return curve;
}

void tone(cv::Mat3f& light, const Finish& finish) {
  const std::vector<float> curve = tone_curve(finish.contrast);
  const float saturation = static_cast<float>(finish.saturation);
  for (auto& c : light) {
    for (int n = 0; n < 3; ++n) c[n] = curve[static_cast<int>(std::clamp(c[n], 0.f, 1.999f) * 2048)];
    const float grey = 0.114f * c[0] + 0.587f * c[1] + 0.299f * c[2];
    for (int n = 0; n < 3; ++n) c[n] = grey + saturation * (c[n] - grey);
  }
}

}  // namespace

Colour srgb(double red, double green, double blue) {
  const auto linear = [](double v) {
    v /= 255;
    return static_cast<float>(v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4));
  };
  return {linear(blue), linear(green), linear(red)};
}

float metered(const cv::Mat3f& light) {
  double sum = 0, weights = 0;
  std::vector<float> greens;
  const cv::Point2d middle(light.cols / 2.0, light.rows / 2.0);
  for (int y = 4; y < light.rows; y += 8)
    for (int x = 4; x < light.cols; x += 8) {
      const cv::Vec3f& c = light(y, x);
      const double u = (x - middle.x) / middle.x, v = (y - middle.y) / middle.y,
                   weight = std::exp(-1.5 * (u * u + v * v));
      sum += weight * std::sqrt(std::clamp(0.1f * c[0] + 0.6f * c[1] + 0.3f * c[2], 0.f, 3.f));
      weights += weight;
      greens.push_back(c[1]);
    }
  const auto bright = greens.begin() + static_cast<std::ptrdiff_t>(greens.size() * 0.97);
  std::nth_element(greens.begin(), bright, greens.end());
  const double root = sum / weights;
  return static_cast<float>(std::min(0.15 / std::max(1e-4, root * root), 1.3 / std::max(1e-3f, *bright)));
}

cv::Mat3b develop(const cv::Mat3f& seen, float gain, const Finish& finish, Random random) {
  cv::Mat3f light = seen.clone();
  expose(light, gain, finish);
  blur(light, finish);
  add_noise(light, finish, random);
  smooth_noise(light, finish);
  tone(light, finish);
  if (finish.sharpening > 0.05) {
    cv::Mat3f soft;
    cv::GaussianBlur(light, soft, {}, 1.1);
    cv::addWeighted(light, 1 + finish.sharpening, soft, -finish.sharpening, 0, light);
  }
  cv::Mat3b picture;
  light.convertTo(picture, CV_8U);
  return picture;
}

}  // namespace braird::painter
