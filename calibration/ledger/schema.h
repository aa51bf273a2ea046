// SPDX-License-Identifier: Apache-2.0
// The ledger's tables, and how a file of an older version becomes one of this version. DEVELOPERS.md
// describes what stands in them.
#pragma once

#include <span>
#include <string>

#include "calibration/ledger/sqlite.h"

namespace braird::ledger {

/// "Brai": SQLite files carry a number that says whose they are.
inline constexpr std::int64_t kApplicationId = 0x42726169;

/// [v] turns version v into v + 1; version 0 is an empty file.
std::span<const std::string> migrations();

inline std::int64_t newest_version() {
  return std::ssize(migrations());
}

/// Says which version the file has. Throws LedgerTrouble if it is someone else's, or newer than this program.
std::int64_t version_of(const Database& file);

/// Brings the file up to this program's version, all or nothing; 0 and older versions only.
void migrate(const Database& file);

}  // namespace braird::ledger
