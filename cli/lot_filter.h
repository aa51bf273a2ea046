// SPDX-License-Identifier: Apache-2.0
// Which lots and sowings do --crop, --since and --until ask for, and what is said where there are none?
#pragma once

#include <string>

#include "calibration/ledger/history.h"

namespace CLI {
class App;
}

namespace braird::cli {

/// As typed.
struct FilterArguments {
  std::string crop{}, since{}, until{};
};

/// --since and --until.
void add_filter_by_date(CLI::App& command, FilterArguments& arguments);
void add_filter_by_crop(CLI::App& command, FilterArguments& arguments);

/// Throws std::invalid_argument with one sentence that names the option.
ledger::Filter filter_of(const FilterArguments& arguments);

/// Why no lot is within the filter: a clause.
std::string why_no_lot(const ledger::Ledger& ledger, const ledger::Filter& filter);

}  // namespace braird::cli
