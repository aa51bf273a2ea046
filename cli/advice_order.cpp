// SPDX-License-Identifier: Apache-2.0
#include "cli/advice_order.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <stdexcept>
#include <utility>

#include "calibration/limits.h"
#include "cli/advice_counts.h"
#include "cli/advice_from_ledger.h"
#include "cli/advice_words.h"
#include "cli/count_files.h"
#include "cli/dates.h"
#include "cli/typed_words.h"
#include "cli/whole_file.h"

namespace braird::cli {
namespace {

using Day = std::chrono::sys_days;

[[noreturn]] void refuse(const std::string& sentence) {
  throw std::invalid_argument(sentence);
}

void within(const char* option, const std::optional<double>& value, double least, double most,
            const char* range) {
  if (value && !(*value >= least && *value <= most))
    refuse(fmt::format("{} {}: must be {}", option, *value, range));
}

/// 0.05 is likely meant for 5 %.
void no_share(const char* option, const std::optional<double>& percent) {
  if (percent && *percent > 0 && *percent < 0.5)
    refuse(fmt::format("{} {}: must be in percent, 0 or from 0.5 on, as in 5", option, *percent));
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
  within("--spacing", typed.spacing_cm, 1, 300, "centimetres, from 1 to 300, as in 12");
  within("--day", typed.day, 0, 1000, "from 0 to 1000");
  within("--germination", typed.germination_percent, 2, 100, "in percent, from 2 to 100, as in 92");
  within("--assurance", typed.assurance_percent, 50, 99.99, "from 50 to 99.99 %");
  within("--next-temperature", typed.next_temperature, kColdestMedium, kWarmestMedium, kOfMedium);
  within("--moisture", typed.moisture_percent, 2, 25, "from 2 to 25 %");
  within("--store-temperature", typed.store_temperature, -20, 90, "from -20 to 90 °C");
  within("--missed", typed.missed_percent, 0, 99, "from 0 to 99 %");
  within("--skips", typed.skips_percent, 0, 99, "from 0 to 99 %");
  within("--doubles", typed.doubles_percent, 0, 100 - typed.skips_percent.value_or(0),
         "from 0 to 100 %, and with --skips no more than 100");
  no_share("--missed", typed.missed_percent);
  no_share("--skips", typed.skips_percent);
  no_share("--doubles", typed.doubles_percent);
}

/// Prices and limits; says whether any price is the grower's own.
bool understand_economy(const AdviseArguments& typed, Economy& economy) {
  bool own_prices = !typed.economy.empty();
  if (own_prices) try {
      economy = with_list(economy, read_text(typed.economy));
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
  if (typed.day) request.day = typed.day;
  request.sown_told = dates.sown.has_value();
  if (dates.counted && dates.sown) {
    const auto days = static_cast<double>((*dates.counted - *dates.sown).count());
    if (typed.day && !typed.counted.empty() && std::floor(*typed.day) != days)
      refuse(fmt::format("--day {}: from {} to {} it is {:.0f}; leave the day or the dates out", *typed.day,
                         iso(*dates.sown), typed.counted, days));
    const bool photos_tell = typed.counted.empty() && request.lot && request.lot->last_day;
    if (!request.day) request.day = photos_tell ? std::floor(*request.lot->last_day) : days;
  }
  if (!dates.planting) return;
  double days = 0;
  if (dates.counted)
    days = static_cast<double>((*dates.planting - *dates.counted).count());
  else if (dates.sown && request.day)
    days = static_cast<double>((*dates.planting - *dates.sown).count()) - *request.day;
  else if (request.lot)
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

std::vector<Pack> packs_of(const std::vector<std::string>& typed) {
  if (typed.size() > kMostPackSizes)
    refuse(fmt::format("--packs {}: must be at most {} sizes", fmt::join(typed, ","), kMostPackSizes));
  std::vector<Pack> packs(typed.size());
  std::ranges::transform(typed, packs.begin(), pack_of);
  const auto priced = std::ranges::count_if(packs, [](const Pack& pack) { return pack.price > 0; });
  if (priced != 0 && priced != std::ssize(packs))
    refuse(fmt::format(
        "--packs {}: give each pack a price, or none; a price has a decimal point, as in 500:3.20",
        fmt::join(typed, ",")));
  return packs;
}

}  // namespace

AdviceRequest advice_request(const AdviseArguments& typed) {
  check_ranges(typed);
  const CountsOrder counts = understand(typed);
  std::optional<LatestRequest> kept = request_from_ledger(typed, counts);
  AdviceRequest request = kept ? std::move(kept->request) : AdviceRequest{};
  Dates dates;
  dates.sown = kept && kept->sown_on ? parse_date("sown", *kept->sown_on) : counts.census.sown_on;
  dates.counted = date_of("--counted", typed.counted);
  dates.planting = date_of("--planting", typed.planting);
  dates.tested = date_of("--tested", typed.tested);
  if (counts.crop) request.crop = counts.crop;
  request.wanted = wanted_of(typed.wanted);
  request.cells_per_tray = cells_of_tray(typed.tray);
  request.need = need_of(typed);
  if (typed.temperature) request.temperature = typed.temperature;
  request.next_temperature = typed.next_temperature;
  if (typed.germination_percent) request.pack_percent = typed.germination_percent;
  request.sower = {typed.missed_percent.value_or(0) / 100, typed.skips_percent.value_or(0) / 100,
                   typed.doubles_percent.value_or(0) / 100};
  request.missed_told = typed.missed_percent.has_value();
  request.packs = packs_of(typed.packs);
  request.prices_told = understand_economy(typed, request.economy);
  AdviceCounts given = advice_counts(typed, counts);
  if (given.lot) request.lot = std::move(given.lot);
  std::ranges::move(given.earlier, std::back_inserter(request.earlier));
  if (const auto sown = last_sowing(given.giving, counts.census)) dates.sown = sown;
  if (!dates.counted) dates.counted = last_taken(given.giving);
  understand_dates(typed, dates, request);
  understand_storage(typed, dates, request);
  add_doubts(given.giving, request);
  if (!request.crop) request.crop = crop_of(given.giving);
  return request;
}

}  // namespace braird::cli
