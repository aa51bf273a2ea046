// SPDX-License-Identifier: Apache-2.0
// The tables' rows taken into the ledger, one by one, within a step. All throw std::invalid_argument with one
// clause that names the fault.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "calibration/census.h"
#include "calibration/ledger/rows.h"
#include "calibration/ledger/table_row.h"

namespace braird::ledger {

inline constexpr int kMostNumber = 2'000'000'000;

/// What is carried from row to row: which number in the tables is which row of the ledger.
struct Importing {
  const Database& file;
  std::map<int, std::int64_t> sowing_of{};  ///< by the sowing's number
  std::map<int, std::int64_t> tray_of{};    ///< by the tray's number; 0 until its first census or decision
  std::map<int, std::int64_t> sowing_of_tray{};
  std::map<int, std::vector<Bytes>> photos_of_tray{};  ///< their hashes, by the tray's number
  using Cells = std::map<std::pair<std::string, int>, std::vector<Cell>>;
  /// By photo and number in the photo, as they were read first and again; a census takes its own out.
  Cells cells_of{}, again_of{};
  std::vector<std::pair<Standing, std::int64_t>> left{};  ///< where known trays stood, and their sowing now
};

/// The row, made anew, of a tray without a tag that `take_tray` has seen.
std::int64_t made_tray(Importing& into, int number);

void take_lot(Importing& into, const Row& row);
void take_sowing(Importing& into, const Row& row);

/// Remembers the photo for its tray, which may be known by it.
void take_photo_of_tray(Importing& into, const Row& row);

/// A tray without a tag is known by its photos, so it is looked for when its first census comes.
void take_tray(Importing& into, const Row& row);

void take_photo(Importing& into, const Row& row);

/// Remembers the cell for its census, which is packed from all of them.
void take_cell(Importing& into, const Row& row);

void take_census(Importing& into, const Row& row);
void take_check(Importing& into, const Row& row);
void take_decision(Importing& into, const Row& row);

}  // namespace braird::ledger
