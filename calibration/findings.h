// SPDX-License-Identifier: Apache-2.0
// Where are the gaps, and what should one check?
//
// Each tray is asked: edge or interior (where several seeds were sown a cell in plants, too: edge_plants.h),
// each row, each column, each corner, clumps of touching gaps, a long run of gaps in sowing order. All p-values of one tray are adjusted together (Holm), so that a tray whose
// gaps lie anywhere shows a finding in at most 5 % of cases. The most telling place is then set aside and the
// rest looked at again, so that a dry edge is not laid to its rows, nor a blocked row to the edge; a dry patch
// is not laid to a row or column that crosses it (gap_blocks.h). Of an edge that suffers each side is held
// against the others, since a line may be blocked there, too. Several
// trays are asked for places that stay empty in tray after tray; there the share of false finds is kept at
// 5 % (Benjamini & Hochberg).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "calibration/cells.h"
#include "calibration/interval.h"

namespace braird {

/// A tray's cells where they stand.
struct TrayMap {
  std::string name;
  Layout layout;
  std::vector<CellCount> cells;  ///< row by row; seeds 0: not sown, or not looked at
  int first_number = 1;     ///< of rows and columns in sentences; 0 where the reader's list counts from 0
  bool from_photo = false;  ///< then the lattice itself may be at fault
};

enum class FindingKind { edge, row, column, corner, clump, run, repeated_place };
/// "edge", "row", "column", "corner", "clump", "run" or "repeated place".
const char* name_of(FindingKind kind);

struct Finding {
  FindingKind kind = FindingKind::edge;
  std::string tray;                    ///< its name; empty if it is about several trays
  std::string place;                   ///< "row 3", "row 2, column 7", "the edge"
  std::string sentence;                ///< what was seen, against what, and what to check
  double p_value = 1;                  ///< of this one look
  double p_adjusted = 1;               ///< for all looks of its kind
  std::optional<Estimate> difference;  ///< gap rate of the place minus that of the rest
                                       ///< (method 10); of an edge told by its plants see edge_plants.h
  std::vector<int> cells{};  ///< where it is, as places in the row-by-row list; of a clump, its poorest block
  Layout layout{};           ///< of the trays that it is about
  bool may_be_dry_side = false;  ///< of a row or column: a side that dries out is as likely as the sower
};

/// The map of a counted tray. Throws std::invalid_argument unless seeds_per_cell ≥ 1 and the cells fit the
/// layout.
TrayMap tray_map(const Tray& tray, int seeds_per_cell, std::string name);

/// What stands out in one tray? Most telling first; empty if nothing does. `level` in (0, 1). Throws
/// std::invalid_argument if the cells don't fit the layout.
std::vector<Finding> find_patterns(const TrayMap& tray, double level = 0.05);

/// Which places stay empty in tray after tray (a jammed hole)? Trays of each layout are asked by themselves,
/// two or more; all must lie the same way round. Places of an edge, corner, row or column that stands out are
/// held against its own gap rate.
std::vector<Finding> find_repeated_places(std::span<const TrayMap> trays, double level = 0.05);

}  // namespace braird
