// SPDX-License-Identifier: Apache-2.0
// Known trays and crops, kept as two JSON lists (samples/trays.json, samples/crops.json) and built into the
// program.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calibration/cells.h"
#include "calibration/census.h"

namespace braird {

struct TrayProfile {
  std::string name;  ///< as "plug-128"
  std::vector<std::string> aliases;
  Layout layout;
  double pitch_mm = 0;      ///< from cell to cell along a row
  double row_pitch_mm = 0;  ///< from row to row
};

struct EmergenceTime {
  double soil_c = 0;  ///< temperature of the medium, °C
  double days = 0;    ///< from sowing to emergence
};

struct CropProfile {
  std::string name;
  std::vector<std::string> aliases;
  std::string habit;  ///< how a seedling looks: "round_pair", "strap_pair", "thread" or "unknown"
  SeedKind seed = SeedKind::single;
  std::optional<int> usual_seeds;                  ///< seeds a cell that growers usually sow
  std::vector<EmergenceTime> emergence;            ///< by rising temperature; empty if no table is known
  std::optional<int> minimum_germination_percent;  ///< the legal minimum for seed on sale, United States
  std::string minimum_source;
  std::optional<int> european_union_percent;            ///< likewise, European Union
  std::optional<int> first_count_day, final_count_day;  ///< of the standard germination test
};

struct Profiles {
  std::vector<TrayProfile> trays;
  std::vector<CropProfile> crops;
};

/// Reads the two lists. Throws std::invalid_argument with one sentence that names the list, the entry and the
/// fault.
Profiles read_profiles(const std::string& trays_json, const std::string& crops_json);

/// The lists this program was built with.
const Profiles& built_in_profiles();

/// The tray or crop of that name or alias, in any case, with blanks or hyphens; null if there is none.
const TrayProfile* find_tray(const Profiles& profiles, const std::string& name);
const CropProfile* find_crop(const Profiles& profiles, const std::string& name);

/// Does the law set a least germination for its seed on sale?
inline bool has_minimum(const CropProfile& crop) {
  return crop.minimum_germination_percent || crop.european_union_percent;
}

/// The known name or alias that a misspelt one most likely means; nothing if none is near.
std::optional<std::string> nearest_tray(const Profiles& profiles, const std::string& name);
std::optional<std::string> nearest_crop(const Profiles& profiles, const std::string& name);

/// What does this crop's seed give? Single plants for a crop that is not told or not in the list.
SeedKind seed_kind(const std::optional<std::string>& crop);

/// How many days does this crop take to come up in a medium of `soil_c` °C? Linear between the table's
/// temperatures; nothing outside the table.
std::optional<double> days_to_emergence(const CropProfile& crop, double soil_c);

}  // namespace braird
