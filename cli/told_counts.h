// SPDX-License-Identifier: Apache-2.0
// What `braird rate` and `braird advise` are both told of the counts in their files.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "calibration/profiles.h"
#include "cli/count_files.h"

namespace CLI {
class App;
}

namespace braird::cli {

/// As typed.
struct ToldCounts {
  std::vector<std::filesystem::path> files;  ///< censuses (JSON) or hand counts (CSV); "-" is standard input
  std::filesystem::path checked;             ///< hand counts of cells drawn at random from the photos
  std::string lot, crop;
  std::string lattice;                ///< of hand-counted trays: "square", "staggered" or nothing
  std::string sown;                   ///< the sowing date, or for daily counts the seeds of each lot
  std::optional<int> seeds;           ///< a cell
  std::optional<double> temperature;  ///< of the medium, °C
  bool cumulative = false;            ///< daily counts are totals
};

/// What that means.
struct CountsOrder {
  HandCountOptions hand;
  CensusOptions census;
  const CropProfile* crop = nullptr;
};

/// All but the files and --lot, of which each command says what it makes of them.
void add_told_counts(CLI::App& command, ToldCounts& told);

/// Throws std::invalid_argument with one sentence that names the option.
CountsOrder understand(const ToldCounts& told);

/// The files, their lots with the checked cells. Throws as read_count_files.
CountFiles read_told_counts(const ToldCounts& told, const CountsOrder& order);

}  // namespace braird::cli
