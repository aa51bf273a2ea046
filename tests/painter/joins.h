// SPDX-License-Identifier: Apache-2.0
// How often two photos are taken for one tray, the way keeping them decides it: by the plants, and by the
// litter too where they don't tell.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "calibration/same_tray.h"
#include "vision/litter.h"

namespace braird {

/// A photo's tray as far as it tells which tray it is.
struct Fingerprints {
  Tray tray;
  std::optional<vision::Litter> litter;  ///< none where no lattice goes through its cells
};

Fingerprints fingerprints_of(const cv::Mat& bgr, const Tray& tray);

struct Verdicts {
  int same = 0, turned = 0, unsure = 0;
};

struct Joins {
  Verdicts by_plants, in_all;
};

void join(Joins& joins, const Fingerprints& earlier, const Fingerprints& later);

/// All joins of a run over painted trays.
struct AllJoins {
  Joins upright;      ///< consecutive days of one tray
  Joins half_turned;  ///< the same, the later photo numbered from the opposite corner
  Joins others;       ///< a day of one tray and the next of another of its layout
  std::vector<std::vector<Fingerprints>> latest{};  ///< the latest tray of each layout
};

/// Adds a tray, day by day, as photographed and as photographed the other way round.
void join_days(AllJoins& all, std::vector<Fingerprints> days, std::span<const Fingerprints> turned);

std::string words_for(const AllJoins& all);

}  // namespace braird
