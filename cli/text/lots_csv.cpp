// SPDX-License-Identifier: Apache-2.0
#include "cli/text/lots_csv.h"

#include <fmt/format.h>

#include "cli/text/csv_text.h"
#include "cli/tray_labels.h"

namespace braird::cli {
namespace {

std::string share(const std::optional<Estimate>& of, double Estimate::*value) {
  return of ? fmt::format("{:.4f}", (*of).*value) : "";
}

template <typename Value>
std::string or_empty(const std::optional<Value>& value) {
  return value ? fmt::format("{}", *value) : "";
}

void add_rate(std::vector<std::string>& row, const std::optional<Estimate>& of) {
  for (double Estimate::*value : {&Estimate::estimate, &Estimate::low, &Estimate::high})
    row.push_back(share(of, value));
}

/// The heading of `add_rate`.
void name_rate(std::vector<std::string>& heading, const std::string& name) {
  for (const char* end : {"", "_low", "_high"}) heading.push_back(name + end);
}

void add_tally(std::vector<std::string>& row, const ledger::Tally& tally) {
  for (const int count : {tally.trays, tally.photos, tally.cells, tally.empty, tally.seedlings})
    row.push_back(std::to_string(count));
}

/// The heading of `add_tally` and of both rates.
void name_counted(std::vector<std::string>& heading) {
  for (const char* name : {"trays", "photos", "cells", "empty", "seedlings"}) heading.emplace_back(name);
  name_rate(heading, "germination");
  name_rate(heading, "gaps");
}

}  // namespace

std::string lots_csv(const std::vector<ledger::LotSummary>& lots) {
  std::vector<std::string> heading = {"lot",       "crop",           "variety", "supplier",
                                      "tested_on", "stated_percent", "sowings"};
  name_counted(heading);
  name_rate(heading, "trend");
  heading.insert(heading.end(), {"error_checks", "suspicions", "too_young"});
  std::string text = csv_line(heading);
  for (const ledger::LotSummary& lot : lots) {
    std::vector<std::string> row = {lot.facts.name,
                                    or_empty(lot.facts.crop),
                                    or_empty(lot.facts.variety),
                                    or_empty(lot.facts.supplier),
                                    or_empty(lot.facts.tested_on),
                                    or_empty(lot.facts.stated_percent),
                                    std::to_string(days_of_sowing(lot))};
    add_tally(row, lot.tally);
    for (const auto* of : {&lot.germination, &lot.gaps, &lot.trend}) add_rate(row, *of);
    row.push_back(std::to_string(lot.error_checks));
    row.push_back(fmt::format("{}", fmt::join(lot.suspicions, " ")));
    row.push_back(std::to_string(lot.too_young));
    text += csv_line(row);
  }
  return text;
}

std::string lot_csv(const ledger::LotSummary& lot) {
  std::vector<std::string> heading = {"lot", "sown_on", "tray", "seeds_per_cell"};
  name_counted(heading);
  heading.insert(heading.end(), {"last_day", "t50"});
  name_rate(heading, "in_the_end");
  heading.emplace_back("pack_age_days");
  std::string text = csv_line(heading);
  for (const ledger::SowingSummary& sowing : lot.sowings) {
    std::vector<std::string> row = {lot.facts.name, or_empty(sowing.facts.sown_on),
                                    label_words(sowing.facts.layout), or_empty(sowing.facts.seeds_per_cell)};
    add_tally(row, sowing.tally);
    add_rate(row, sowing.germination);
    add_rate(row, sowing.gaps);
    row.push_back(sowing.last_day ? fmt::format("{:.2f}", *sowing.last_day) : "");
    row.push_back(sowing.t50 ? fmt::format("{:.2f}", *sowing.t50) : "");
    add_rate(row, sowing.in_the_end);
    row.push_back(or_empty(sowing.pack_age_days));
    text += csv_line(row);
  }
  return text;
}

}  // namespace braird::cli
