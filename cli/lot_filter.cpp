// SPDX-License-Identifier: Apache-2.0
#include "cli/lot_filter.h"

#include <fmt/format.h>

#include <CLI/App.hpp>

#include "calibration/ledger/lot_summary.h"
#include "cli/dates.h"
#include "cli/typed_words.h"

namespace braird::cli {
namespace {

/// "since 2026-03-01", as the filter has it.
std::string days_of(const ledger::Filter& filter) {
  if (!filter.until) return "since " + *filter.since;
  return filter.since ? fmt::format("from {} to {}", *filter.since, *filter.until) : "until " + *filter.until;
}

}  // namespace

void add_filter_by_date(CLI::App& command, FilterArguments& arguments) {
  command.add_option("--since", arguments.since, "Only sowings of this day or later: YYYY-MM-DD");
  command.add_option("--until", arguments.until, "Only sowings of this day or earlier: YYYY-MM-DD");
}

void add_filter_by_crop(CLI::App& command, FilterArguments& arguments) {
  command.add_option("--crop", arguments.crop, "Only lots of this crop");
}

ledger::Filter filter_of(const FilterArguments& arguments) {
  return {crop_name_of(arguments.crop), told_day("--since", arguments.since),
          told_day("--until", arguments.until)};
}

std::string why_no_lot(const ledger::Ledger& ledger, const ledger::Filter& filter) {
  const auto lots = ledger::lot_names(ledger, {});
  if (lots.empty()) return "the ledger holds no lot yet; keep a count: braird count --keep PHOTO";
  if (!filter.crop || !ledger::lot_names(ledger, {filter.crop, {}, {}}).empty())
    return fmt::format("no lot{} was sown {}", filter.crop ? " of " + *filter.crop : "", days_of(filter));
  const auto crops = ledger::crops_kept(ledger);
  return fmt::format(
      "{} {}; {}",
      lots.size() == 1 ? "the only lot is not" : fmt::format("none of the {} lots is", lots.size()),
      *filter.crop,
      crops.empty() ? "their crops are not known" : fmt::format("crops kept: {}", fmt::join(crops, ", ")));
}

}  // namespace braird::cli
