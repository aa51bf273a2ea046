// SPDX-License-Identifier: Apache-2.0
// What stands on a tray's label, as the plain text in its code:
//
//   braird 1|TAG|LOT|CROP|SOWN|SEEDS|TRAY          braird 1|K7|Rowan 12|kale|2026-04-02|1|plug-128
//
// "braird", the version, then six fields: the tray's tag, the seed lot as on the pack, the crop, the sowing
// date, the seeds a cell, and the tray's shape: a known name, or ROWSxCOLUMNS with an "s" behind it where
// rows are staggered (22x12s). Only the tag must be there. UTF-8; "%", "|" and control characters are written
// as %XX. Later versions only add fields at the end; readers leave those alone.
#pragma once

#include <optional>
#include <string>
#include <tuple>

namespace braird {

struct TrayLabel {
  std::string tag;  ///< tells the tray from all others of the ledger
  std::optional<std::string> lot;
  std::optional<std::string> crop;
  std::optional<std::string> sown_on;  ///< "YYYY-MM-DD"
  std::optional<int> seeds_per_cell;   ///< 1..50
  std::optional<std::string> tray;     ///< known name, or "8x16", "22x12s"
};

inline bool operator==(const TrayLabel& one, const TrayLabel& other) {
  const auto all = [](const TrayLabel& label) {
    return std::tie(label.tag, label.lot, label.crop, label.sown_on, label.seeds_per_cell, label.tray);
  };
  return all(one) == all(other);
}

/// Throws std::invalid_argument with one sentence if the tag is missing, a field is out of range, or the text
/// would not fit a code that a phone's photo shows (over 150 bytes).
std::string label_text(const TrayLabel& label);

/// Nothing if the text is no label of ours, or contradicts the form above.
std::optional<TrayLabel> read_label_text(const std::string& text);

}  // namespace braird
