// SPDX-License-Identifier: Apache-2.0
#include "calibration/warmth.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace braird {
namespace {

constexpr double kStepC = 5;
constexpr int kMissing = -1;
constexpr double kTellingShare = 0.5;  // of the best

struct Row {
  std::string_view crop;
  std::array<int, 9> percent;  // at 0, 5 … 40 °C
};

constexpr std::array kTable = {
    Row{"beet", {kMissing, 53, 72, 88, 90, 97, 89, 35, kMissing}},
    Row{"cabbage", {kMissing, 27, 78, 93, kMissing, 99, kMissing, kMissing, kMissing}},
    Row{"carrot", {0, 48, 93, 95, 96, 96, 95, 74, 0}},
    Row{"cauliflower", {kMissing, kMissing, 58, 60, kMissing, 63, 45, kMissing, kMissing}},
    Row{"celery", {0, 72, 70, 40, 97, 65, 0, 0, 0}},
    Row{"cucumber", {0, 0, 0, 95, 99, 99, 99, 99, kMissing}},
    Row{"lettuce", {98, 98, 98, 99, 99, 99, 12, 0, 0}},
    Row{"onion", {90, 98, 98, 98, 99, 97, 91, 73, 2}},
    Row{"parsnip", {82, 87, 79, 85, 89, 77, 51, 1, 0}},
    Row{"pea", {kMissing, 89, 94, 93, 93, 94, 86, kMissing, kMissing}},
    Row{"pepper", {0, 0, 1, 70, 96, 98, 95, 70, 0}},
    Row{"radish", {0, 42, 76, 97, 95, 97, 95, kMissing, kMissing}},
    Row{"spinach", {83, 96, 91, 82, 52, 28, 32, 0, 0}},
    Row{"tomato", {0, 0, 82, 98, 98, 97, 83, 46, 0}},
    Row{"turnip", {1, 14, 79, 98, 99, 100, 99, 99, 88}}};

const Row* row_of(std::string_view crop) {
  const auto* row = std::ranges::find(kTable, crop, &Row::crop);
  return row == kTable.end() ? nullptr : row;
}

}  // namespace

std::optional<double> normal_seedlings(std::string_view crop, double soil_c) {
  const Row* row = row_of(crop);
  if (!row || !(soil_c >= 0 && soil_c <= 40)) return std::nullopt;
  // The nearest tested temperatures on either side.
  int below = static_cast<int>(std::floor(soil_c / kStepC)),
      above = static_cast<int>(std::ceil(soil_c / kStepC));
  auto percent = [&](int at) { return row->percent[static_cast<std::size_t>(at)]; };
  while (below >= 0 && percent(below) == kMissing) --below;
  while (above < std::ssize(row->percent) && percent(above) == kMissing) ++above;
  if (below < 0 || above >= std::ssize(row->percent)) return std::nullopt;
  if (below == above) return percent(below) / 100.;
  const double way = (soil_c / kStepC - below) / (above - below);
  return (percent(below) + way * (percent(above) - percent(below))) / 100.;
}

std::optional<double> best_normal_seedlings(std::string_view crop) {
  const Row* row = row_of(crop);
  if (!row) return std::nullopt;
  return *std::ranges::max_element(row->percent) / 100.;
}

std::optional<std::string> towards_best(std::string_view crop, double soil_c) {
  const Row* row = row_of(crop);
  if (!row) return std::nullopt;
  const auto best = std::ranges::max_element(row->percent) - row->percent.begin();
  return soil_c > kStepC * static_cast<double>(best) ? "cooler" : "warmer";
}

std::optional<double> warmth_factor(std::string_view crop, std::optional<double> from_c, double to_c) {
  const auto from = from_c ? normal_seedlings(crop, *from_c) : best_normal_seedlings(crop);
  const auto to = normal_seedlings(crop, to_c);
  if (!from || !to || *from <= 0) return std::nullopt;
  return *to / *from;
}

bool tells_of(double next_c, std::string_view crop, double here_c) {
  const auto here = normal_seedlings(crop, here_c), next = normal_seedlings(crop, next_c),
             best = best_normal_seedlings(crop);
  return !here || !next || *here >= kTellingShare * *best || *next <= *here;
}

}  // namespace braird
