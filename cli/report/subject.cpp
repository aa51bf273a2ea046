// SPDX-License-Identifier: Apache-2.0
#include "cli/report/subject.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>
#include <stdexcept>

#include "cli/lot_filter.h"
#include "cli/report/words.h"

namespace braird::report {
namespace {

namespace fs = std::filesystem;
using ledger::FoundCensus;
using ledger::KeptCensus;
using ledger::KeptLot;
using ledger::KeptSowing;
using ledger::KeptTray;
using ledger::Ledger;

/// Only the trays found, as that photo shows them.
void keep_only(KeptLot& lot, const std::vector<FoundCensus>& found) {
  const auto shown = [&](const KeptCensus& census) {
    return std::ranges::any_of(found, [&](const FoundCensus& one) { return one.census.id == census.id; });
  };
  for (KeptSowing& sowing : lot.sowings) {
    std::erase_if(sowing.trays,
                  [&](const KeptTray& tray) { return std::ranges::none_of(tray.censuses, shown); });
    for (KeptTray& tray : sowing.trays)
      tray.censuses.erase(std::ranges::find_if(tray.censuses, shown) + 1, tray.censuses.end());
  }
  std::erase_if(lot.sowings, [](const KeptSowing& sowing) { return sowing.trays.empty(); });
}

std::string title_of(const std::vector<FoundCensus>& found) {
  const FoundCensus& one = found[0];
  const std::string photo = fs::path(one.census.file).filename().string();
  if (found.size() > 1) return fmt::format(words::kTraysInPhoto, found.size(), photo);
  if (one.tag) return fmt::format(words::kTray, *one.tag);
  if (one.place.many > 1) return fmt::format(words::kTrayOfSeveral, one.place.number, one.place.many, photo);
  return fmt::format(words::kTrayWithoutTag, photo);
}

std::vector<KeptLot> lots_of_tray(const Ledger& ledger, const Subject& subject, Report& report) {
  const std::vector<FoundCensus> found = ledger::find_censuses(ledger, subject.tray);
  report.scope = Scope::trays;
  report.title = title_of(found);
  std::set<std::string> names;
  for (const FoundCensus& one : found) names.insert(one.lot);
  std::vector<KeptLot> lots;
  for (const std::string& name : names) {
    lots.push_back(ledger::read_lot(ledger, name));
    keep_only(lots.back(), found);
  }
  return lots;
}

KeptLot lot_asked(const Ledger& ledger, const Subject& subject, Report& report) {
  KeptLot lot = ledger::read_lot(ledger, subject.lot, subject.filter);
  report.scope = Scope::lot;
  report.title = fmt::format(words::kLot, lot.facts.name);
  if (!subject.sown_on) return lot;
  report.scope = Scope::sowing;
  report.title += fmt::format(", {}", fmt::format(words::kSowing, *subject.sown_on));
  std::erase_if(lot.sowings,
                [&](const KeptSowing& sowing) { return sowing.facts.sown_on != subject.sown_on; });
  if (lot.sowings.empty())
    throw std::invalid_argument(
        fmt::format("the ledger knows no sowing of lot {} on {}", lot.facts.name, *subject.sown_on));
  return lot;
}

}  // namespace

std::vector<KeptLot> lots_asked(Ledger& ledger, const Subject& subject, Report& report) {
  if (!subject.tray.empty()) return lots_of_tray(ledger, subject, report);
  if (!subject.lot.empty()) return {lot_asked(ledger, subject, report)};
  report.title = words::kSeason;
  std::vector<KeptLot> lots;
  for (const ledger::LotSummary& lot : ledger::season(ledger, subject.filter))
    lots.push_back(ledger::read_lot(ledger, lot.facts.name, subject.filter));
  if (lots.empty() && (subject.filter.crop || subject.filter.by_date()))
    throw std::invalid_argument(cli::why_no_lot(ledger, subject.filter));
  return lots;
}

}  // namespace braird::report
