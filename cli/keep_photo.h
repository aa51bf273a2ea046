// SPDX-License-Identifier: Apache-2.0
// `braird count --keep`: from a counted photo to the ledger.
#pragma once

#include <filesystem>
#include <memory>
#include <string>

#include "calibration/ledger/keep.h"
#include "cli/commands/count.h"
#include "cli/order.h"

namespace braird::cli {

/// Where counts are kept; without a ledger they are not.
struct Keeper {
  std::shared_ptr<ledger::Ledger> ledger;
  std::string tag;  ///< told for all photos; empty: none
  bool as_before = false;
};

/// Opens the ledger if --keep is told. Throws like Ledger, before any photo is counted.
Keeper keeper_for(const CountArguments& arguments);

/// What the ledger knows of a told --tag fills in options that were not told.
CountArguments arguments_with_tag(CountArguments arguments, const Keeper& keeper);

/// What is told, understood; the crop of a told lot, and of a photo that is kept again all that is not told,
/// are as the ledger has them.
Order order_as_kept(const CountArguments& told, const Keeper& keeper, const std::filesystem::path& photo);

/// Keeps the census, reads earlier photos of its trays again (read_again.h), and says so in a line a tray.
/// Throws with one sentence that names the photo if either can't be written.
std::string keep_photo(Keeper& keeper, const std::filesystem::path& photo, const Census& census,
                       const Order& order);

}  // namespace braird::cli
