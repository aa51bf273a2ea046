// SPDX-License-Identifier: Apache-2.0
// What all choices about a stand start from (tray_options.h): its cells as they are, how they may go on, and
// what a cell sown or filled anew brings. Inside of tray_options.cpp.
#pragma once

#include <vector>

#include "calibration/growth.h"
#include "calibration/tray_options.h"

namespace braird::tray_bench {

/// The share of newly sown cells that get full.
struct NewCells {
  double mean = 0, variance = 0, plants = 0;
};

/// All that the options share.
struct Bench {
  const OptionTerms& terms;
  TrayOptions stand;
  std::vector<Growth> growths;  // until planting
  NewCells fresh;
  double minute = 0;       // price
  bool in_time = true;     // of cells sown today
  double came_plants = 0;  // until planting
};

/// Throws like tray_options.
Bench bench_of(const Belief& belief, const OptionTerms& terms);

/// Plants that a gap is filled with.
int plants_for_a_gap(const OptionTerms& terms);

/// Each way's spread of full cells with `cells` closed anew, each full with chance `mean` whatever came
/// there.
std::vector<Growth> with_new(std::vector<Growth> growths, double cells, const NewCells& anew, bool in_gaps);

}  // namespace braird::tray_bench
