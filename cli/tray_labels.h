// SPDX-License-Identifier: Apache-2.0
// Labels in a photo, joined with what the ledger and the lists of trays and crops know.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calibration/census.h"
#include "cli/keep_photo.h"
#include "cli/order.h"
#include "vision/hints.h"

namespace braird::cli {

/// A tray's shape as a label tells it: a known name, "8x16", or "22x12s" for staggered rows.
std::optional<Layout> layout_on_label(const std::string& text);
/// The same the other way round; a known tray by its name.
std::string label_words(const Layout& layout);
/// Likewise for people to read, with "9x14 staggered".
std::string tray_words(const Layout& layout);

/// The labels with their shapes and habits; what a label leaves out is filled in from the ledger, if it knows
/// the tag.
std::vector<vision::SeenLabel> understood(std::vector<vision::SeenLabel> labels, const Keeper& keeper);

/// Where this tray's label, which goes first, says something else than was told of all trays, as remarks.
std::vector<std::string> against_label(const Tray& tray, const Order& told);

/// What is known of this tray: its label goes before what was told of all trays.
Order order_for(const Tray& tray, Order told);

}  // namespace braird::cli
