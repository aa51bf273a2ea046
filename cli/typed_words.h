// SPDX-License-Identifier: Apache-2.0
// What a person types after options that several commands have.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "calibration/profiles.h"

namespace braird::cli {

/// Nothing where the text is no finite number, or no whole one within ±1e8.
std::optional<double> number_of(std::string_view text);
std::optional<int> whole_of(std::string_view text);

/// "8x16" as 8 rows of 16; nothing if it is no such pair, or none that a tray may have: each from 1 to 100.
std::optional<Layout> rows_by_cols(std::string_view text);

/// --crop as the list of crops calls it, else as it was told; nothing where it isn't told.
std::optional<std::string> crop_name_of(const std::string& told);
/// That a crop isn't in the list, and which may have been meant; a clause.
std::string unlisted_crop(const Profiles& profiles, const std::string& name);

/// A lot's name as one may be told, blanks at its ends left out (lot_name): one line of 200 bytes at most, so
/// that lists stay lists. Throws std::invalid_argument with one clause.
std::string lot_called(std::string_view told);

// These throw std::invalid_argument with one sentence that names the option.

/// --tray as rows x columns; nothing if it is no such pair, and then perhaps a name.
std::optional<Layout> shape_called(const std::string& text);
/// --tray as a name of the list.
const TrayProfile& tray_called(const Profiles& profiles, const std::string& name);
/// --lattice; nothing where it isn't told.
std::optional<LatticeKind> lattice_called(const std::string& name);

}  // namespace braird::cli
