// SPDX-License-Identifier: Apache-2.0
#include "calibration/economy.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "calibration/economy_list.h"
#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kNoEnd = std::numeric_limits<double>::infinity();

struct Entry {
  const char* name;
  double Economy::*value;
  double least, most;
  bool price;
};

constexpr std::array kEntries = {
    Entry{"seed_price", &Economy::seed_price, 0, kNoEnd, true},
    Entry{"hour_price", &Economy::hour_price, 0, kNoEnd, true},
    Entry{"tray_price", &Economy::tray_price, 0, kNoEnd, true},
    Entry{"bench_day_price", &Economy::bench_day_price, 0, kNoEnd, true},
    Entry{"full_cell_worth", &Economy::full_cell_worth, 0, kNoEnd, true},
    Entry{"lost_a_lag_day", &Economy::lost_a_lag_day, 0, 1, true},
    Entry{"minutes_to_sow_tray", &Economy::minutes_to_sow_tray, 0, kNoEnd, true},
    Entry{"minutes_to_fill_gap", &Economy::minutes_to_fill_gap, 0, kNoEnd, true},
    Entry{"minutes_to_resow_gap", &Economy::minutes_to_resow_gap, 0, kNoEnd, true},
    Entry{"minutes_to_thin_plant", &Economy::minutes_to_thin_plant, 0, kNoEnd, true},
    Entry{"moved_plants_live", &Economy::moved_plants_live, 0, 1, false},
    Entry{"least_days_in_tray", &Economy::least_days_in_tray, 0, 365, false},
    Entry{"gap_limit", &Economy::gap_limit, 0.0001, 0.9999, false},
    Entry{"assurance", &Economy::assurance, 0.5, 0.9999, false},
    Entry{"worth_filling", &Economy::worth_filling, 0, 1, false},
    Entry{"worth_resowing", &Economy::worth_resowing, 0, 1, false},
    Entry{"pack_worth_seeds", &Economy::pack_worth_seeds, 0, 10000, false}};

const Entry& entry_of(const std::string& name) {
  const auto* known = std::ranges::find(kEntries, name, &Entry::name);
  if (known == kEntries.end())
    throw std::invalid_argument(
        fmt::format("{} is no price, time or limit; known are {}", name, fmt::join(economy_names(), ", ")));
  return *known;
}

std::string range_of(const Entry& entry) {
  return entry.most == kNoEnd ? fmt::format("a number, {} or more", entry.least)
                              : fmt::format("between {} and {}", entry.least, entry.most);
}

Economy read_built_in() {
  Economy economy = with_list({}, kEconomyList);
  for (const Entry& entry : kEntries) set(economy, entry.name, economy.*entry.value);
  return economy;
}

}  // namespace

std::vector<std::string> economy_names() {
  std::vector<std::string> names;
  names.reserve(std::size(kEntries));
  for (const Entry& entry : kEntries) names.emplace_back(entry.name);
  return names;
}

std::vector<std::pair<std::string, double>> values_of(const Economy& economy) {
  std::vector<std::pair<std::string, double>> values;
  values.reserve(std::size(kEntries));
  for (const Entry& entry : kEntries) values.emplace_back(entry.name, economy.*entry.value);
  return values;
}

bool is_price(const std::string& name) {
  return entry_of(name).price;
}

void set(Economy& economy, const std::string& name, double value) {
  const Entry& entry = entry_of(name);
  // not x < y: a value that is no number must fail
  require(value >= entry.least && value <= entry.most && value < kNoEnd, name, value, range_of(entry));
  economy.*entry.value = value;
}

Economy with_list(Economy economy, const std::string& json) {
  using Json = nlohmann::json;
  const auto list = Json::parse(json, nullptr, false);
  if (!list.is_object() || list.value("format", Json()) != "braird-economy")
    throw std::invalid_argument(
        "the list of prices, times and limits is no JSON of the format braird-economy");
  if (list.value("version", Json()) != 1)
    throw std::invalid_argument(
        "the list of prices, times and limits is not of version 1; a newer braird may read it");
  if (list.contains("currency") && list["currency"].is_string()) economy.currency = list["currency"];
  const auto values = list.value("values", Json::object());
  for (const auto& [name, value] : values.items()) {
    if (!value.is_number()) throw std::invalid_argument(name + " must be a number");
    set(economy, name, value);
  }
  return economy;
}

const Economy& built_in_economy() {
  static const Economy economy = read_built_in();
  return economy;
}

}  // namespace braird
