// SPDX-License-Identifier: Apache-2.0
#include "cli/advice_counts.h"

#include <algorithm>
#include <cctype>
#include <stdexcept>
#include <utility>

#include "cli/count_files.h"

namespace braird::cli {
namespace {

/// Advice weighs what came up; where seeds lay is for `braird rate`.
void refuse_seeds(const std::vector<Census>& censuses) {
  for (const Census& census : censuses)
    if (census.counted == Counted::seeds)
      throw std::invalid_argument(census.photo.file +
                                  " was counted for seeds; advice is on seedlings, so leave it out");
}

bool same_letter(char a, char b) {
  return std::tolower(static_cast<unsigned char>(a)) == std::tolower(static_cast<unsigned char>(b));
}

std::vector<Lot>::iterator named(std::vector<Lot>& lots, const std::string& name) {
  const auto exactly = std::ranges::find(lots, name, &Lot::name);
  if (exactly != lots.end()) return exactly;
  return std::ranges::find_if(
      lots, [&](const Lot& lot) { return std::ranges::equal(lot.name, name, same_letter); });
}

std::string names_of(const std::vector<Lot>& lots) {
  std::string names;
  for (const Lot& lot : lots) names += (names.empty() ? "" : ", ") + lot.name;
  return names;
}

Lot the_lot(std::vector<Lot> lots, const std::string& name) {
  if (lots.size() == 1 && name.empty()) return std::move(lots.front());
  if (const auto own = named(lots, name); own != lots.end()) return std::move(*own);
  if (name.empty())
    throw std::invalid_argument("the files hold several lots (" + names_of(lots) +
                                "); say which is meant with --lot");
  throw std::invalid_argument("--lot " + name + ": the files don't hold it, but " + names_of(lots));
}

/// The lot's own earlier sowings; a single lot is taken whatever its name.
std::vector<Lot> earlier_of(std::vector<Lot> lots, const std::string& name) {
  if (lots.size() < 2) return lots;
  const auto own = name.empty() ? lots.end() : named(lots, name);
  if (own == lots.end())
    throw std::invalid_argument(
        "--earlier: the files hold several lots (" + names_of(lots) + ")" +
        (name.empty() ? "; say which is meant with --lot" : ", none of which is " + name));
  return {std::move(*own)};
}

/// Of the files about these trays.
std::vector<Lot> sowings_before(const std::vector<Census>& censuses, CensusOptions options,
                                const std::string& name) {
  options.sowings = Sowings::earlier;
  std::vector<Lot> lots = lots_of(censuses, options);
  std::erase_if(lots, [&](const Lot& lot) { return lot.name != name; });
  return lots;
}

}  // namespace

AdviceCounts advice_counts(const AdviseArguments& typed, const CountsOrder& order) {
  AdviceCounts counts;
  CountsOrder latest = order;
  latest.census.sowings = Sowings::latest;
  const std::string told = order.census.lot.value_or("");
  CountFiles now = read_told_counts(typed, latest);
  refuse_seeds(now.censuses);
  if (!now.lots.empty()) {
    counts.lot = the_lot(std::move(now.lots), told);
    counts.giving = giving_rates(now.censuses, counts.lot->name, latest.census);
    counts.earlier = sowings_before(now.censuses, order.census, counts.lot->name);
  }
  CountFiles before = read_count_files(
      typed.earlier, order.hand, {order.census.lot, typed.seeds, std::nullopt}, {typed.files, now.censuses});
  refuse_seeds(before.censuses);
  for (Lot& lot : earlier_of(std::move(before.lots), counts.lot ? counts.lot->name : told))
    counts.earlier.push_back(std::move(lot));
  if (before.some_given_before && counts.lot)
    counts.lot->remarks.push_back("What --earlier tells of these trays again was left out.");
  return counts;
}

}  // namespace braird::cli
