// SPDX-License-Identifier: Apache-2.0
// Sheets of tray labels as SVG, to print at full size on A4 (210 x 297 mm), three labels across, seven down,
// 62 x 37 mm each with 2 mm between. The code's modules are as large as the label allows: about 0.9 mm, 3 to
// 5 px in a phone's photo of a whole tray.
//
//   +-----------------------------+
//   | ######  K7                  |
//   | ######  Rowan 12            |
//   | ######  kale                |
//   | ######  1 seed a cell       |
//   |         2026-04-02          |
//   |         plug-128            |
//   +-----------------------------+
#pragma once

#include <span>
#include <string>
#include <vector>

#include "calibration/tray_label.h"

namespace braird::cli {

inline constexpr std::size_t kLabelsASheet = 21;

/// One sheet; 1 to 21 labels. Text is escaped; too long lines are cut. Throws std::invalid_argument like
/// label_text.
std::string label_sheet(std::span<const TrayLabel> labels);

}  // namespace braird::cli
