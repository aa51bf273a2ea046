// SPDX-License-Identifier: Apache-2.0
#include "cli/advice_from_ledger.h"

#include <fmt/format.h>

#include <filesystem>
#include <stdexcept>
#include <string>
#include <system_error>
#include <utility>

#include "calibration/ledger/history.h"
#include "cli/dates.h"
#include "cli/ledger_place.h"

namespace braird::cli {
namespace {

void refuse_told(bool told, const char* option, const std::string& known) {
  if (told)
    throw std::invalid_argument(fmt::format("{}: {}; leave it out, or name a file of counts", option, known));
}

void refuse_what_is_kept(const AdviseArguments& typed, const LatestRequest& kept) {
  const std::string known = "the trays of lot " + typed.lot + " are the ledger's, which knows that";
  refuse_told(typed.seeds.has_value(), "--seeds", known);
  refuse_told(!typed.lattice.empty(), "--lattice", known);
  refuse_told(!typed.checked.empty(), "--checked", known);
  refuse_told(typed.cumulative, "--cumulative", known);
  if (!kept.request.day) return;
  const std::string seen = "the kept photos of lot " + typed.lot + " tell when they were taken";
  refuse_told(typed.day.has_value(), "--day", seen);
  refuse_told(!typed.counted.empty(), "--counted", seen);
}

std::string days_of(const ledger::KeptLot& lot) {
  std::string days;
  for (const ledger::KeptSowing& sowing : lot.sowings)
    if (const auto& day = sowing.facts.sown_on; day && days.find(*day) == std::string::npos)
      days += (days.empty() ? "" : ", ") + *day;
  return days;
}

[[noreturn]] void refuse_lot(const ledger::KeptLot& lot, const std::optional<std::string>& sown_on) {
  const std::string days = days_of(lot);
  if (sown_on && !days.empty() && days.find(*sown_on) == std::string::npos)
    throw std::invalid_argument(
        fmt::format("--sown {}: the ledger's sowings of lot {} are of {}", *sown_on, lot.facts.name, days));
  throw std::invalid_argument(fmt::format(
      "the ledger holds no tray of lot {} of which the seeds a cell are known; keep its photos again "
      "with --seeds",
      lot.facts.name));
}

}  // namespace

std::optional<LatestRequest> request_from_ledger(const AdviseArguments& typed, const CountsOrder& order) {
  if (!typed.files.empty() || typed.lot.empty()) {
    if (!typed.ledger.empty())
      throw std::invalid_argument("--ledger: goes with --lot, and without a file of counts");
    return std::nullopt;
  }
  const std::filesystem::path place = ledger_place(typed.ledger);
  std::error_code unused;
  if (typed.ledger.empty() && !std::filesystem::exists(place, unused)) return std::nullopt;
  const ledger::Ledger ledger(place, ledger::Access::read);
  const bool pack_told = typed.germination_percent.has_value();
  ledger::KeptLot lot;
  try {
    lot = ledger::read_lot(ledger, typed.lot);
  } catch (const std::invalid_argument&) {
    if (pack_told) return std::nullopt;
    throw;
  }
  const auto sown_on = order.census.sown_on ? std::optional(iso(*order.census.sown_on)) : std::nullopt;
  std::optional<LatestRequest> kept = latest_request(lot, sown_on);
  if (!kept && pack_told) return std::nullopt;
  if (!kept) refuse_lot(lot, sown_on);
  refuse_what_is_kept(typed, *kept);
  const std::size_t trays = kept->request.lot->trays.size();
  kept->request.lot->remarks.push_back(fmt::format("These are the ledger's {} of the lot{}.",
                                                   trays == 1 ? "tray" : fmt::format("{} trays", trays),
                                                   kept->sown_on ? " sown on " + *kept->sown_on : ""));
  return kept;
}

}  // namespace braird::cli
