// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace braird::cli {

/// One thing that braird stands on, as found on this computer.
struct Condition {
  std::string what;
  bool good = true;
  std::string words;  ///< what was found, and, if it is not good, what to do
};

/// Which photo formats can be read?
Condition photo_formats();

/// Can the networks be loaded, and do they find no tray in an empty picture?
Condition networks();

/// Can the ledger at `place` be read and written, or made? Writes nothing.
Condition ledger_condition(const std::filesystem::path& place);

/// Is there any font in `folders`? Whatever shows or prints a sheet of labels on this computer needs one.
Condition fonts(const std::vector<std::filesystem::path>& folders);

/// Do so many bytes do for a large photo?
Condition memory(std::uint64_t available_bytes);

/// All of these for this computer and user, with the ledger as told (ledger_place.h).
std::vector<Condition> conditions(const std::filesystem::path& ledger);

}  // namespace braird::cli
