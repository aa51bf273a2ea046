// SPDX-License-Identifier: Apache-2.0
#include "calibration/patience.h"

#include <fmt/format.h>

#include <cmath>

#include "calibration/grower_advice.h"
#include "calibration/lot_evidence.h"

namespace braird {
namespace {

constexpr double kEnoughUp = 0.90;

std::vector<Timing> likely_courses(const Lot& lot, const CropProfile& crop,
                                   std::optional<double> temperature) {
  if (lot.trays.empty()) {
    const std::vector<Timing> usual = timings_of(crop, temperature);
    return lot.course ? weighed_by(usual, *lot.course, 1) : usual;
  }
  AdviceRequest request;
  request.lot = lot;
  request.crop = &crop;
  request.temperature = temperature;
  const LotEvidence evidence = lot_evidence(request);
  return evidence.timings.empty() ? evidence.timings : courses_of(believe(evidence));
}

std::string say(const Patience& patience, const std::string& crop, double day) {
  if (!patience.too_early)
    return fmt::format("On day {:.0f} after sowing nearly all that will come is up.", day);
  return fmt::format(
      "Too early to judge: this is day {:.0f} after sowing, and {} may come up until about day {:.0f}; look "
      "again then.",
      day, crop, patience.judge_on);
}

}  // namespace

std::optional<Patience> patience_with(const Lot& lot, const CropProfile& crop,
                                      std::optional<double> temperature) {
  const int told_by = telling_day(crop);
  if (!lot.last_day) return std::nullopt;
  const double day = std::floor(*lot.last_day);
  const std::vector<Timing> courses = likely_courses(lot, crop, temperature);
  if (told_by == 0 && courses.empty()) return std::nullopt;
  Patience patience{day < told_by, 1, static_cast<double>(told_by), ""};
  if (!courses.empty()) patience.up_by_now = share_up(courses, *lot.last_day);
  if (!patience.too_early && patience.up_by_now < kEnoughUp) {
    patience.too_early = true;
    patience.judge_on = day_when_nearly_all_up(courses);
  }
  patience.sentence = say(patience, crop.name, day);
  return patience;
}

}  // namespace braird
