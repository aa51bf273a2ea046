// SPDX-License-Identifier: Apache-2.0
// The tray as a picture: drawn as it is, square or staggered, with what stands out marked on it.
#pragma once

#include <string>

#include "cli/report/report.h"

namespace braird::report {

/// "row 3 column 7, two seedlings, look again"; row and column from 1.
std::string cell_words(const Tray& tray, std::size_t cell, bool by_hand);

/// The map with a cell a grid cell, which keyboard, finger and screen reader walk through. An <svg> that uses
/// the marks of mark_definitions() on the same page.
std::string tray_map(const TrayReport& tray);

/// A small picture of the gaps alone, for a list of trays.
std::string gap_picture(const TrayReport& tray);

/// Which mark means what; only what the tray has.
std::string legend(const TrayReport& tray);

}  // namespace braird::report
