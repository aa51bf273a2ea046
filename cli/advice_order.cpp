// SPDX-License-Identifier: Apache-2.0
#include "cli/advice_order.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <stdexcept>

#include "cli/advice_words.h"
#include "cli/count_files.h"
#include "cli/dates.h"
#include "cli/typed_words.h"

namespace braird::cli {
namespace {

using Day = std::chrono::sys_days;

[[noreturn]] void refuse(const std::string& sentence) {
  throw std::invalid_argument(sentence);
}

/// Advice weighs what came up; where seeds lay is for `braird rate`.
void refuse_seeds(const std::vector<Census>& censuses) {
  for (const Census& census : censuses)
    if (census.counted == Counted::seeds)
      refuse(census.photo.file + " was counted for seeds; advice is on seedlings, so leave it out");
}

void within(const char* option, const std::optional<double>& value, double least, double most,
            const char* range) {
  if (value && !(*value >= least && *value <= most))
    refuse(fmt::format("{} {}: must be {}", option, *value, range));
}

void positive(const char* option, const std::optional<double>& value) {
  if (value && !(*value > 0)) refuse(fmt::format("{} {}: must be above 0", option, *value));
  if (value && !(*value <= 1e8))
    refuse(fmt::format("{} {:.0f}: must be at most a hundred million", option, *value));
}

void check_ranges(const AdviseArguments& typed) {
  positive("--cells", typed.cells);
  positive("--rows", typed.rows);
  positive("--beds", typed.beds);
  positive("--every", typed.every);
  positive("--bed", typed.bed_m);
  positive("--spacing", typed.spacing_cm);
  within("--day", typed.day, 0, 1000, "from 0 to 1000");
  within("--germination", typed.germination_percent, 2, 100, "in percent, from 2 to 100, as in 92");
  within("--assurance", typed.assurance_percent, 50, 99.99, "from 50 to 99.99 %");
  within("--next-temperature", typed.next_temperature, -10, 60, "from -10 to 60 °C");
  within("--moisture", typed.moisture_percent, 2, 25, "from 2 to 25 %");
  within("--store-temperature", typed.store_temperature, -20, 90, "from -20 to 90 °C");
  within("--missed", typed.missed_percent, 0, 99, "from 0 to 99 %");
  within("--skips", typed.skips_percent, 0, 99, "from 0 to 99 %");
  within("--doubles", typed.doubles_percent, 0, 100 - typed.skips_percent.value_or(0),
         "from 0 to 100 %, and with --skips no more than 100");
}

/// Prices and limits; says whether any price is the grower's own.
bool understand_economy(const AdviseArguments& typed, Economy& economy) {
  bool own_prices = !typed.economy.empty();
  if (own_prices) try {
      economy = with_list(economy, content_of(typed.economy));
    } catch (const std::invalid_argument& why) {
      refuse(typed.economy.string() + ": " + why.what());
    }
  for (const std::string& setting : typed.settings) {
    const auto equals = setting.find('=');
    const auto value = equals == std::string::npos ? std::nullopt : number_of(setting.substr(equals + 1));
    if (!value) refuse("--set " + setting + ": must be a name and a number, as in seed_price=0.02");
    try {
      set(economy, setting.substr(0, equals), *value);
      own_prices = own_prices || is_price(setting.substr(0, equals));
    } catch (const std::invalid_argument& why) {
      refuse("--set " + setting + ": " + why.what());
    }
  }
  if (!typed.currency.empty()) economy.currency = typed.currency;
  if (typed.assurance_percent) economy.assurance = *typed.assurance_percent / 100;
  return own_prices;
}

struct Dates {
  std::optional<Day> sown, counted, planting, tested;
};

std::optional<Day> date_of(const char* option, const std::string& text) {
  return text.empty() ? std::nullopt : std::optional(parse_date(option, text));
}

void understand_dates(const AdviseArguments& typed, const Dates& dates, AdviceRequest& request) {
  if (dates.planting && dates.sown && *dates.planting < *dates.sown)
    refuse("--planting " + typed.planting + " is before the sowing date " + iso(*dates.sown));
  if (dates.counted && dates.sown && *dates.counted < *dates.sown)
    refuse("the trays were counted before the sowing date " + iso(*dates.sown));
  request.day = typed.day;
  request.sown_told = dates.sown.has_value();
  if (dates.counted && dates.sown) {
    const auto days = static_cast<double>((*dates.counted - *dates.sown).count());
    if (typed.day && !typed.counted.empty() && std::floor(*typed.day) != days)
      refuse(fmt::format("--day {}: from {} to {} it is {:.0f}; leave the day or the dates out", *typed.day,
                         iso(*dates.sown), typed.counted, days));
    if (!request.day) request.day = days;
  }
  if (!dates.planting) return;
  double days = 0;
  if (dates.counted)
    days = static_cast<double>((*dates.planting - *dates.counted).count());
  else if (dates.sown && request.day)
    days = static_cast<double>((*dates.planting - *dates.sown).count()) - *request.day;
  else if (!typed.files.empty())
    refuse("to use --planting, say when the trays were counted: --counted DATE");
  if (days < 0) refuse("--planting " + typed.planting + " is before the trays were counted");
  request.days_to_planting = days;
}

// The seed's age when it was sown, or counted, or will be planted: whatever is known first.
void understand_storage(const AdviseArguments& typed, const Dates& dates, AdviceRequest& request) {
  if (!dates.tested) return;
  const auto then = dates.sown ? dates.sown : dates.counted ? dates.counted : dates.planting;
  if (!then) refuse("to use --tested, say when it was sown too: --sown DATE");
  if (*then < *dates.tested) refuse("--tested " + typed.tested + " is after the sowing");
  request.stored = Storage{static_cast<double>((*then - *dates.tested).count()),
                           typed.moisture_percent.value_or(8), typed.store_temperature.value_or(15)};
}

std::optional<Day> last_taken(const std::vector<Census>& censuses) {
  std::optional<Day> last;
  for (const Census& census : censuses)
    if (const auto day = census.photo.taken ? day_of(*census.photo.taken) : std::nullopt;
        day && (!last || *day > *last))
      last = day;
  return last;
}

void add_doubts(const std::vector<Census>& censuses, AdviceRequest& request) {
  for (const Census& census : censuses)
    for (const Tray& tray : census.trays) {
      request.fit = std::min(request.fit, tray.fit);
      request.review += summarise(tray).review;
    }
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
    refuse("the files hold several lots (" + names_of(lots) + "); say which is meant with --lot");
  refuse("--lot " + name + ": the files don't hold it, but " + names_of(lots));
}

std::vector<Pack> packs_of(const std::vector<std::string>& typed) {
  std::vector<Pack> packs(typed.size());
  std::ranges::transform(typed, packs.begin(), pack_of);
  const auto priced = std::ranges::count_if(packs, [](const Pack& pack) { return pack.price > 0; });
  if (priced != 0 && priced != std::ssize(packs))
    refuse(fmt::format(
        "--packs {}: give each pack a price, or none; a price has a decimal point, as in 500:3.20",
        fmt::join(typed, ",")));
  return packs;
}

/// The lot's own earlier sowings; a single lot is taken whatever its name.
std::vector<Lot> earlier_of(std::vector<Lot> lots, const std::string& name) {
  if (lots.size() < 2) return lots;
  const auto own = name.empty() ? lots.end() : named(lots, name);
  if (own == lots.end())
    refuse("--earlier: the files hold several lots (" + names_of(lots) + ")" +
           (name.empty() ? "; say which is meant with --lot" : ", none of which is " + name));
  return {std::move(*own)};
}

}  // namespace

AdviceRequest advice_request(const AdviseArguments& typed) {
  check_ranges(typed);
  AdviceRequest request;
  const CountsOrder counts = understand(typed);
  const std::string lot = counts.census.lot.value_or("");
  Dates dates;
  dates.sown = counts.census.sown_on;
  dates.counted = date_of("--counted", typed.counted);
  dates.planting = date_of("--planting", typed.planting);
  dates.tested = date_of("--tested", typed.tested);
  request.crop = counts.crop;
  request.wanted = wanted_of(typed.wanted);
  request.cells_per_tray = cells_of_tray(typed.tray);
  request.need = need_of(typed);
  request.temperature = typed.temperature;
  request.next_temperature = typed.next_temperature;
  request.pack_percent = typed.germination_percent;
  request.sower = {typed.missed_percent.value_or(0) / 100, typed.skips_percent.value_or(0) / 100,
                   typed.doubles_percent.value_or(0) / 100};
  request.missed_told = typed.missed_percent.has_value();
  request.packs = packs_of(typed.packs);
  request.prices_told = understand_economy(typed, request.economy);
  CountFiles now = read_told_counts(typed, counts);
  refuse_seeds(now.censuses);
  if (!now.lots.empty()) {
    request.lot = the_lot(std::move(now.lots), lot);
    leave_only(now.censuses, request.lot->name, counts.census);
  }
  if (const auto sown = last_sowing(now.censuses, counts.census)) dates.sown = sown;
  if (!dates.counted) dates.counted = last_taken(now.censuses);
  understand_dates(typed, dates, request);
  understand_storage(typed, dates, request);
  add_doubts(now.censuses, request);
  if (request.lot && !request.crop && !now.censuses.empty())
    for (const Tray& tray : now.censuses.front().trays)
      if (tray.crop) request.crop = find_crop(built_in_profiles(), *tray.crop);
  CountFiles earlier =
      read_count_files(typed.earlier, counts.hand, {counts.census.lot, typed.seeds, std::nullopt});
  refuse_seeds(earlier.censuses);
  request.earlier = earlier_of(std::move(earlier.lots), request.lot ? request.lot->name : lot);
  return request;
}

}  // namespace braird::cli
