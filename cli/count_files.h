// SPDX-License-Identifier: Apache-2.0
// Counts from files: censuses (JSON, one a line) or hand counts (CSV), told apart by content.
#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "calibration/census_lots.h"
#include "calibration/hand_counts.h"
#include "calibration/profiles.h"

namespace braird::cli {

struct CountFiles {
  std::vector<Census> censuses;
  std::vector<Lot> lots;  ///< of all files; lots of one name are joined
  bool some_given_before = false;
};

/// What other files told already.
struct GivenBefore {
  std::span<const std::filesystem::path> files;
  std::span<const Census> censuses;
};

/// Reads all files ("-" is standard input); a file or a photo's census that was given before is left out,
/// with a remark. Throws std::invalid_argument or std::runtime_error with a sentence (for bad rows, one a
/// line) that names file, line and fault; then nothing is returned. Left out, too, is what was given before:
/// files, photos (of one name and time), and trays of one tag and sowing.
CountFiles read_count_files(const std::vector<std::filesystem::path>& files, const HandCountOptions& hand,
                            const CensusOptions& census, const GivenBefore& before = {});

/// The first that is on the list of crops; null where none is.
const CropProfile* crop_of(const std::vector<Census>& censuses);

/// The latest day on which any of the trays was sown; nothing if none is known.
std::optional<std::chrono::sys_days> last_sowing(const std::vector<Census>& censuses,
                                                 const CensusOptions& options);

}  // namespace braird::cli
