// SPDX-License-Identifier: Apache-2.0
#include "vision/seed_area.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <functional>
#include <numbers>
#include <numeric>
#include <opencv2/imgproc.hpp>

namespace braird::vision {
namespace {

// The figures here were chosen on 37 painted trays (DEVELOPERS.md, What was tried).
constexpr int kColours = 48;
constexpr int kSamples = 4000;        // px from which the tray's colours are learned
constexpr int kSteps = 8;             // of k-means
constexpr double kLeastGain = 0.004;  // in correlation, for one more colour to be a seed's
constexpr double kLeastSpread = 0.2;  // of one seed's area, whatever the tray
constexpr double kSpreadASeed = 0.3;  // likewise, for each seed: seeds lie on each other and in shade
constexpr double kStrays = 0.1;       // share of cells in which something else has that colour
constexpr double kWeight = 0.4;       // of this witness: the counter has looked at the same pixels
constexpr int kRounds = 30;

using Values = std::vector<double>;  // one a cell

cv::Rect window_of(const Lattice& lattice, int row, int col, int px) {
  const double u = tray_point(lattice, row, col).x - first_u(lattice);
  return {cvRound(px * (u + 0.5)), px * row + px / 2, px, px};
}

/// A colour as it is compared: half its lightness, since shade is no colour, red against green, yellow
/// against blue.
cv::Vec3f as_seen(const cv::Vec3b& bgr) {
  const float b = bgr[0], g = bgr[1], r = bgr[2];
  return {(b + g + r) / 3 / 2, r - g, (r + g) / 2 - b};
}

/// The tray's commonest colours.
std::vector<cv::Vec3f> common_colours(const cv::Mat& bgr, const std::vector<cv::Rect>& windows) {
  const int each = std::max(20, kSamples / static_cast<int>(windows.size()));
  std::vector<cv::Vec3f> pixels;
  for (const cv::Rect& window : windows)
    for (int i = 0; i < each; ++i) {  // evenly, but not in lines
      const double place = i * (std::numbers::phi - 1);
      const int px = static_cast<int>((place - std::floor(place)) * window.area());
      pixels.push_back(
          as_seen(bgr.at<cv::Vec3b>(window.y + px / window.width, window.x + px % window.width)));
    }
  cv::Mat labels, colours;
  cv::theRNG().state = 1;  // the same photo gives the same answer
  cv::kmeans(cv::Mat(pixels).reshape(1), kColours, labels,
             cv::TermCriteria(cv::TermCriteria::COUNT | cv::TermCriteria::EPS, kSteps, 0.1), 1,
             cv::KMEANS_PP_CENTERS, colours);
  return colours.reshape(3);
}

/// The nearest of some colours, each shade looked for once.
class NearestColour {
 public:
  explicit NearestColour(std::vector<cv::Vec3f> colours)
      : colours_(std::move(colours)), nearest_(std::size_t{1} << (3 * kBits), kUnknown) {}

  std::size_t operator()(const cv::Vec3b& bgr) {
    const int b = bgr[0] >> kDropped, g = bgr[1] >> kDropped, r = bgr[2] >> kDropped;
    std::uint8_t& known = nearest_[static_cast<std::size_t>(((b << kBits | g) << kBits) | r)];
    if (known == kUnknown) known = search(as_seen({middle(b), middle(g), middle(r)}));
    return known;
  }

 private:
  static constexpr int kBits = 6, kDropped = 8 - kBits;  // of each channel
  static constexpr std::uint8_t kUnknown = 255;

  static std::uint8_t middle(int level) {
    return static_cast<std::uint8_t>((2 * level + 1) << kDropped >> 1);
  }

  std::uint8_t search(const cv::Vec3f& seen) const {
    const auto nearer = [&](const cv::Vec3f& a, const cv::Vec3f& b) {
      return cv::norm(seen - a, cv::NORM_L2SQR) < cv::norm(seen - b, cv::NORM_L2SQR);
    };
    return static_cast<std::uint8_t>(std::min_element(colours_.begin(), colours_.end(), nearer) -
                                     colours_.begin());
  }

  std::vector<cv::Vec3f> colours_;
  std::vector<std::uint8_t> nearest_;
};

/// The share of each cell that each of the tray's colours covers: one row of cells for each colour. Seen at
/// half the size, which evens out single pixels.
std::vector<Values> colour_shares(const FlatTray& flat, const Lattice& lattice) {
  cv::Mat3b half;
  cv::resize(flat.bgr, half, flat.bgr.size() / 2, 0, 0, cv::INTER_AREA);
  std::vector<cv::Rect> windows;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col)
      windows.push_back(window_of(lattice, row, col, flat.cell / 2) & cv::Rect({}, half.size()));
  NearestColour nearest(common_colours(half, windows));
  std::vector<Values> shares(kColours, Values(windows.size()));
  for (std::size_t cell = 0; cell < windows.size(); ++cell) {
    std::array<int, kColours> pixels{};
    const cv::Mat3b window = half(windows[cell]);
    for (const cv::Vec3b& pixel : window) ++pixels[nearest(pixel)];
    for (std::size_t c = 0; c < shares.size(); ++c)
      shares[c][cell] = pixels[c] / static_cast<double>(window.total());
  }
  return shares;
}

double mean(const Values& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double covariance(const Values& a, const Values& b) {
  return std::inner_product(a.begin(), a.end(), b.begin(), 0.0) / static_cast<double>(a.size()) -
         mean(a) * mean(b);
}

double correlation(const Values& a, const Values& b) {
  return covariance(a, b) / std::sqrt(std::max(1e-18, covariance(a, a) * covariance(b, b)));
}

Values sum(const Values& a, const Values& b) {
  Values result(a.size());
  std::transform(a.begin(), a.end(), b.begin(), result.begin(), std::plus<>());
  return result;
}

/// How much of each cell the seeds' colours cover: colours are added while their area goes better with the
/// expected counts. All 0 if none does.
Values seed_area(std::vector<Values> shares, const Values& expected) {
  Values area(expected.size());
  for (double reached = 0; !shares.empty();) {
    std::size_t best = 0;
    double most = -1;
    for (std::size_t c = 0; c < shares.size(); ++c)
      if (const double r = correlation(sum(area, shares[c]), expected); r > most) most = r, best = c;
    if (most < reached + kLeastGain) break;
    reached = most;
    area = sum(area, shares[best]);
    shares.erase(shares.begin() + static_cast<std::ptrdiff_t>(best));
  }
  return area;
}

/// k seeds cover none + k · each, give or take √(spread + k · spread_each).
struct SeedSize {
  double none = 0, each = 0, spread = 0, spread_each = 0;
};

double log_likelihood(const SeedSize& size, double area, double k, double span) {
  const double off = area - size.none - k * size.each, variance = size.spread + k * size.spread_each;
  const double likely = std::exp(-off * off / variance / 2) / std::sqrt(2 * std::numbers::pi * variance);
  return std::log((1 - kStrays) * likely + kStrays / span);
}

/// Chances of each count, once its log likelihood is weighed in.
CountChances weighed(const CountChances& chances, const SeedSize& size, double area, double span,
                     double weight) {
  CountChances result(chances.size());
  for (std::size_t k = 0; k < chances.size(); ++k)
    result[k] = std::log(std::max(1e-5, chances[k])) +
                weight * log_likelihood(size, area, static_cast<double>(k), span);
  const double most = *std::max_element(result.begin(), result.end());
  for (double& p : result) p = std::exp(p - most);
  const double all = std::accumulate(result.begin(), result.end(), 0.0);
  for (double& p : result) p /= all;
  return result;
}

/// The size by expectation maximization, from a first guess.
SeedSize fitted(SeedSize size, const Values& area, const std::vector<CountChances>& chances, double span) {
  for (int round = 0; round < kRounds; ++round) {
    cv::Matx22d places{}, spreads{};
    cv::Vec2d areas{}, residuals{};
    std::vector<CountChances> now;
    for (std::size_t i = 0; i < area.size(); ++i) {
      now.push_back(weighed(chances[i], size, area[i], span, 1));
      for (std::size_t k = 0; k < now[i].size(); ++k) {
        const cv::Vec2d at(1, static_cast<double>(k));
        const double w = now[i][k] / (size.spread + at[1] * size.spread_each);
        places += w * (at * at.t()), areas += w * area[i] * at;
      }
    }
    if (cv::determinant(places) < 1e-9) break;
    const cv::Vec2d line = places.inv() * areas;
    if (line[1] <= 0) break;
    size.none = line[0], size.each = line[1];
    for (std::size_t i = 0; i < area.size(); ++i)
      for (std::size_t k = 0; k < now[i].size(); ++k) {
        const cv::Vec2d at(1, static_cast<double>(k));
        const double off = area[i] - line.dot(at);
        spreads += now[i][k] * (at * at.t()), residuals += now[i][k] * off * off * at;
      }
    cv::Vec2d spread = (spreads + 1e-9 * cv::Matx22d::eye()).inv() * residuals;
    if (spread[1] < 0) spread = {residuals[0] / spreads(0, 0), 0};
    size.spread = std::max(spread[0], std::pow(kLeastSpread * size.each, 2));
    size.spread_each = std::max(spread[1], std::pow(kSpreadASeed * size.each, 2));
  }
  return size;
}

}  // namespace

std::vector<CountChances> weighed_by_seed_area(const FlatTray& flat, const Lattice& lattice,
                                               std::vector<CountChances> chances) {
  Values expected(chances.size());
  for (std::size_t i = 0; i < chances.size(); ++i)
    for (std::size_t k = 0; k < chances[i].size(); ++k) expected[i] += static_cast<double>(k) * chances[i][k];
  if (covariance(expected, expected) < 1e-4) return chances;
  const Values area = seed_area(colour_shares(flat, lattice), expected);
  const auto [least, most] = std::minmax_element(area.begin(), area.end());
  if (*most <= *least) return chances;
  const double slope = covariance(area, expected) / covariance(expected, expected);
  SeedSize size;
  size.none = std::clamp(mean(area) - slope * mean(expected), 0.0, *least);
  size.each = (mean(area) - size.none) / mean(expected);
  size.spread = std::pow(0.25 * size.each, 2);
  size = fitted(size, area, chances, *most - *least);
  for (std::size_t i = 0; i < chances.size(); ++i)
    chances[i] = weighed(chances[i], size, area[i], *most - *least, kWeight);
  return chances;
}

}  // namespace braird::vision
