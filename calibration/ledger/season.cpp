// SPDX-License-Identifier: Apache-2.0
// Lots side by side: what speaks against each, in which order they are shown, and figures kept for next time.
#include <fmt/format.h>
#include <sys/stat.h>

#include <algorithm>
#include <map>

#include "calibration/json_words.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/ledger/summary_json.h"
#include "calibration/profiles.h"

namespace braird::ledger {
namespace {

using Json = nlohmann::ordered_json;

std::string points(double share) {
  return fmt::format("{:.1f}", 100 * share);
}

std::string interval_words(const Judged& judged) {
  return fmt::format("whole interval of {}{}{} ({} to {} %)",
                     judged.clusters ? "clusters that came up" : "germination",
                     judged.died_back ? " before seedlings died back" : "",
                     judged.all_trays ? "" : " in the trays that are up and counted without doubt",
                     points(judged.rate.low), points(judged.rate.high));
}

/// This very program: figures that another build worked out are worked out again.
const std::string& program_name() {
  static const std::string name = [] {
    struct stat program {};
    if (stat("/proc/self/exe", &program) != 0) return std::string("unknown");
    return fmt::format("{} {} {}", program.st_size, program.st_mtim.tv_sec, program.st_mtim.tv_nsec);
  }();
  return name;
}

std::map<std::string, LotSummary> known_summaries(const Ledger& ledger) {
  std::map<std::string, LotSummary> known;
  if (program_name() == "unknown") return known;
  Statement rows = ledger.file().prepare(
      "SELECT name, content FROM summaries JOIN lots ON lots.id = summaries.lot WHERE program = ?");
  rows.bind(program_name());
  while (rows.next()) known[rows.text(0)] = summary_from_json(Json::parse(rows.text(1)));
  return known;
}

/// Only a help for next time: where it cannot be written, nothing is said.
void remember(Ledger& ledger, const std::map<std::int64_t, LotSummary>& fresh) {
  if (fresh.empty() || ledger.access() != Access::write) return;
  try {
    ledger.file().transaction([&] {
      Statement put =
          ledger.file().prepare("INSERT OR REPLACE INTO summaries (lot, program, content) VALUES (?, ?, ?)");
      for (const auto& [lot, summary] : fresh)
        put.bind(lot, program_name(), text_of(summary_json(summary))).run();
    });
  } catch (const LedgerTrouble&) {
  }
}

/// The worst first: more suspicions, then the lower limit of the germination; lots without a rate last.
bool goes_before(const LotSummary& one, const LotSummary& other) {
  const auto rank = [](const LotSummary& lot) {
    return std::tuple(-std::ssize(lot.suspicions), !lot.germination,
                      lot.germination ? lot.germination->low : 0);
  };
  if (rank(one) != rank(other)) return rank(one) < rank(other);
  return one.facts.name < other.facts.name;
}

}  // namespace

std::vector<std::string> suspicions_of(const LotSummary& summary, const std::optional<Judged>& judged) {
  std::vector<std::string> found;
  if (summary.legal_minimum_percent && judged && judged->rate.high < *summary.legal_minimum_percent / 100.)
    found.push_back(fmt::format(
        "The {} is below the {} % that the law asks of {} seed on sale (7 CFR 201.31; a tray is "
        "no laboratory "
        "test).",
        interval_words(*judged), *summary.legal_minimum_percent, summary.facts.crop.value_or("such")));
  if (summary.facts.stated_percent && judged && judged->rate.high < *summary.facts.stated_percent / 100)
    found.push_back(fmt::format("The pack states {:.0f} %, above the {}.", *summary.facts.stated_percent,
                                interval_words(*judged)));
  if (summary.trend && summary.trend->high < 0)
    found.push_back(fmt::format(
        "The latest sowing came up worse than the earlier ones: {} points fewer ({} to {}).",
        points(-summary.trend->estimate), points(-summary.trend->high), points(-summary.trend->low)));
  return found;
}

std::vector<LotSummary> season(Ledger& ledger, const Filter& filter) {
  const auto known = filter.by_date() ? std::map<std::string, LotSummary>() : known_summaries(ledger);
  std::map<std::int64_t, LotSummary> fresh;
  std::vector<LotSummary> lots;
  for (const std::string& name : lot_names(ledger, filter)) {
    if (const auto at = known.find(name); at != known.end()) {
      lots.push_back(at->second);
      continue;
    }
    const KeptLot kept = read_lot(ledger, name, filter);
    lots.push_back(summarise(ledger, kept));
    if (!filter.by_date()) fresh[kept.id] = lots.back();
  }
  remember(ledger, fresh);
  std::ranges::sort(lots, goes_before);
  return lots;
}

std::vector<std::string> crops_kept(const Ledger& ledger) {
  Statement rows =
      ledger.file().prepare("SELECT DISTINCT crop FROM lots WHERE crop IS NOT NULL ORDER BY crop");
  std::vector<std::string> crops;
  while (rows.next()) crops.push_back(rows.text(0));
  return crops;
}

}  // namespace braird::ledger
