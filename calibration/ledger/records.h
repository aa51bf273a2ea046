// SPDX-License-Identifier: Apache-2.0
// What stands in the ledger, as plain structs. Days are "YYYY-MM-DD".
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "calibration/census.h"
#include "calibration/ledger/sqlite.h"

namespace braird::ledger {

inline constexpr std::size_t kHashBytes = 16;  ///< of a photo's content (content_hash in keep.h)

struct LotFacts {
  std::string name;
  std::optional<std::string> crop, variety, supplier;
  std::optional<std::string> tested_on;  ///< the day of the germination test on the pack
  std::optional<double> stated_percent;  ///< germination that the pack states, 0..100
  std::optional<bool> treated;
};

struct SowingFacts {
  std::optional<std::string> sown_on;
  Layout layout;
  std::optional<int> seeds_per_cell;
  std::optional<std::string> plate, topping;
  std::optional<double> temperature_c;
};

/// A cell that was counted by hand.
struct HandCheck {
  int cell = 0;  ///< row by row
  int seedlings = 0;
  bool drawn = false;  ///< at random; others were picked, and say nothing of the counter's error elsewhere
};

/// A tray as one photo shows it, in the tray's own numbering.
struct KeptCensus {
  std::int64_t id = 0;
  std::string file;  ///< the photo, where it was when it was counted
  Bytes hash;
  std::optional<std::string> taken;
  Tray tray;
  std::vector<HandCheck> checks;
};

struct KeptTray {
  std::int64_t id = 0;
  std::optional<std::string> tag;
  std::vector<KeptCensus> censuses;  ///< by the time they were taken; those that don't tell come first
};

struct KeptSowing {
  std::int64_t id = 0;
  SowingFacts facts;
  std::vector<KeptTray> trays;
};

struct Decision {
  std::optional<std::string> decided_on, sown_on, tag;
  std::string words;
};

struct KeptLot {
  std::int64_t id = 0;
  LotFacts facts;
  std::vector<KeptSowing> sowings;  ///< by sowing date
  std::vector<Decision> decisions;
};

}  // namespace braird::ledger
