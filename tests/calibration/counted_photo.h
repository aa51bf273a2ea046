// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "calibration/census.h"

namespace braird::test {

/// A photo of one tray of two rows with these counts, read without doubt.
inline Census photo(const std::string& file, const std::string& taken, const std::vector<int>& counts) {
  Census census;
  census.photo.file = file;
  if (!taken.empty()) census.photo.taken = taken;
  Tray tray;
  tray.layout = {2, static_cast<int>(counts.size()) / 2};
  tray.seeds_per_cell = 2;
  tray.crop = "leek";
  for (const int count : counts) tray.cells.emplace_back().count = count;
  census.trays.push_back(tray);
  return census;
}

}  // namespace braird::test
