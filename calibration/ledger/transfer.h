// SPDX-License-Identifier: Apache-2.0
// The whole ledger as tables of text, and back. Each table has a first row of column names; empty fields are
// "not known". The columns:
//
//   lots       lot, crop, variety, supplier, tested_on, stated_percent, treated (yes, no)
//   sowings    sowing, lot, sown_on, rows, cols, lattice, seeds_per_cell, plate, topping, temperature_c
//   trays      tray, sowing, tag
//   photos     photo (32 hexadecimal digits, the hash of its content), file, width, height, taken, remarks
//   censuses   photo, number (of the tray in the photo, from 0), tray, by_label (yes, no), corners
//              (eight numbers, px), pitch_px, fit, seeds_in_view (where nothing had come up, the share of
//              cells in the middle in which seeds lay in view; else empty)
//   cells      photo, number, row, col (from 1), x, y (px), count, chances (of 0, 1, 2 …), review (yes, no),
//              plant (two numbers, in cells, or empty), first_count, first_chances, first_review (what stood
//              there before the photo was read again, rereading.h; else empty)
//   checks     photo, number, row, col (from 1), seedlings, drawn (yes, no)
//   decisions  lot, sowing, tray, decided_on, words
//
// `sowing` and `tray` are numbers that hold the tables together. Numbers in one field are parted by blanks.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "calibration/ledger/ledger.h"

namespace braird::ledger {

using TextTable = std::vector<std::vector<std::string>>;  ///< rows of fields; the first names the columns

/// The tables' names, in an order in which each stands on the ones before.
const std::vector<std::string>& table_names();

TextTable export_table(const Ledger& ledger, const std::string& name);

using Tables = std::map<std::string, TextTable>;  ///< by name

/// How many rows of each table were taken in.
using Imported = std::map<std::string, int>;

/// Takes tables in, as one step: into an empty ledger they give back the content that was exported. Into
/// another they add what is new and correct what is known (lots by name, sowings by lot, day, shape and
/// seeds, trays by tag or first photo, photos by content); a tray that shares a photo moves to the sowing
/// that the tables give it. Tables that are not given stay as they are. Throws std::invalid_argument with
/// table, row and fault, and then nothing has changed; a tag that the ledger has given to a tray of another
/// sowing, of which the tables have no photo, is such a fault.
Imported import_tables(Ledger& ledger, const Tables& tables);

struct TableFolder {
  std::filesystem::path folder;
  Tables tables;
};

/// Likewise the tables of several folders, in that order and all as one step. `sowing` and `tray` hold the
/// tables of one folder together, not those of two. Faults name the folder.
Imported import_folders(Ledger& ledger, const std::vector<TableFolder>& folders);

}  // namespace braird::ledger
