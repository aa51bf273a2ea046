// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/rate.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <charconv>
#include <memory>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>

#include "calibration/census_lots.h"
#include "calibration/checked_cells.h"
#include "calibration/hand_counts.h"
#include "calibration/letters.h"
#include "calibration/profiles.h"
#include "cli/count_files.h"
#include "cli/dates.h"
#include "cli/text/help.h"
#include "cli/text/rate_json.h"
#include "cli/text/rate_text.h"

namespace braird::cli {
namespace {

/// What the options mean.
struct RateOrder {
  HandCountOptions hand;
  CensusOptions census;
  const CropProfile* crop = nullptr;
};

LatticeKind lattice_of(const std::string& word) {
  if (word.empty() || word == "square") return LatticeKind::square;
  if (word == "staggered") return LatticeKind::staggered;
  throw std::invalid_argument("--lattice " + word + ": must be square or staggered");
}

/// --sown is a number of seeds, or the day.
void understand_sown(const std::string& text, RateOrder& order) {
  if (text.empty()) return;
  double seeds = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), seeds);
  if (error == std::errc() && end == text.data() + text.size() && seeds > 0) {
    order.hand.sown = seeds;
    return;
  }
  if (const auto day = day_of(text); day && text.size() == 10) {
    order.census.sown_on = day;
    return;
  }
  throw std::invalid_argument("--sown " + text + ": must be a number of seeds, or a date as in 2026-03-19");
}

const CropProfile* crop_of(const RateArguments& arguments) {
  if (arguments.crop.empty()) return nullptr;
  const CropProfile* crop = find_crop(built_in_profiles(), arguments.crop);
  if (crop) return crop;
  const auto meant = nearest_crop(built_in_profiles(), arguments.crop);
  throw std::invalid_argument("--crop " + arguments.crop + ": not in the list of crops" +
                              (meant ? "; did you mean " + *meant + "?" : ""));
}

RateOrder understand(const RateArguments& arguments) {
  RateOrder order;
  if (arguments.seeds && *arguments.seeds < 1)
    throw std::invalid_argument(fmt::format("--seeds {}: must be 1 or more", *arguments.seeds));
  if (arguments.temperature && !(*arguments.temperature >= -10 && *arguments.temperature <= 60))
    throw std::invalid_argument(
        fmt::format("--temperature {}: must be from -10 to 60 °C", *arguments.temperature));
  order.hand.seeds = order.census.seeds = arguments.seeds;
  order.hand.lattice = lattice_of(arguments.lattice);
  if (arguments.cumulative) order.hand.daily = DailyCounts::up_in_all;
  if (!arguments.lot.empty()) order.census.lot = lot_name(arguments.lot);
  understand_sown(arguments.sown, order);
  order.crop = crop_of(arguments);
  if (order.crop) order.hand.seed = order.crop->seed;
  return order;
}

// What is told of photos or daily counts, where there are none.
void refuse_idle(const RateArguments& arguments, const RateOrder& order, const CountFiles& read) {
  if (read.censuses.empty() && order.census.lot)
    throw std::invalid_argument("--lot " + arguments.lot +
                                ": tells the lot of photos; these counts name theirs");
  if (read.censuses.empty() && order.census.sown_on)
    throw std::invalid_argument("--sown " + arguments.sown +
                                ": a sowing date is for photos, and there are none");
  if (order.hand.sown &&
      std::ranges::none_of(read.lots, [](const Lot& lot) { return lot.course.has_value(); }))
    throw std::invalid_argument("--sown " + arguments.sown +
                                ": a number of seeds is for daily counts, and there are none");
}

std::vector<Lot> read_all(const RateArguments& arguments, const RateOrder& order) {
  CountFiles read = read_count_files(arguments.files, order.hand, order.census);
  refuse_idle(arguments, order, read);
  std::vector<Lot> lots = std::move(read.lots);
  if (!arguments.checked.empty()) {
    std::istringstream in(content_of(arguments.checked));
    add_checked(lots, in, arguments.checked.string());
  }
  return lots;
}

std::optional<Patience> patience_of(const LotReport& report, const RateArguments& arguments,
                                    const RateOrder& order) {
  if (!order.crop || !arguments.temperature || !report.last_day) return std::nullopt;
  const auto days = days_to_emergence(*order.crop, *arguments.temperature);
  if (!days) return std::nullopt;
  return too_early_to_judge({order.crop->name, *arguments.temperature, *days, *report.last_day});
}

RateAnswer answer_to(const RateArguments& arguments) {
  const RateOrder order = understand(arguments);
  const std::vector<Lot> lots = read_all(arguments, order);
  RateAnswer answer;
  for (const Lot& lot : lots) {
    answer.lots.push_back({report_on(lot), {}});
    answer.lots.back().patience = patience_of(answer.lots.back().report, arguments, order);
  }
  answer.across_lots = overdispersion_across(lots);
  if (order.crop) answer.minimum = minimum_germination(order.crop->name);
  return answer;
}

}  // namespace

CLI::App* add_rate(CLI::App& app, RateArguments& arguments) {
  CLI::App* rate = app.add_subcommand("rate", "Say what came up, how surely, and why cells stayed empty");
  rate->add_option("FILE", arguments.files,
                   "Counts: what braird count --json printed, or hand counts as CSV with the columns "
                   "lot,tray,row,col,count or lot,sown,germinated or lot,day,germinated; - is standard input")
      ->required();
  rate->add_option("--sown", arguments.sown,
                   "For daily counts: how many seeds each lot had; for photos: the sowing date, YYYY-MM-DD");
  rate->add_option("--seeds", arguments.seeds, "How many seeds were sown in a cell");
  rate->add_option("--lot", arguments.lot, "The seed lot of photos that name none");
  rate->add_option("--lattice", arguments.lattice,
                   "How the cells of hand-counted trays stand: square or staggered");
  rate->add_option("--crop", arguments.crop, "What was sown, such as leek");
  rate->add_option("--temperature", arguments.temperature,
                   "Of the medium, in °C: tells whether it is too early to judge");
  rate->add_option(
      "--checked", arguments.checked,
      "Hand counts of cells drawn at random from the photos, as CSV lot,tray,row,col,count (tray: the "
      "photo's name): corrects the rates by the counter's error");
  rate->add_flag("--cumulative", arguments.cumulative, "Daily counts are totals so far, not newly come up");
  rate->add_flag("--json", arguments.json, "Print one JSON object");
  set_help(*rate, {"--seeds", "--sown", "--lot", "--crop", "--temperature", "--checked", "--json"},
           "braird rate --lot \"Rowan 12\" bench.jsonl");
  return rate;
}

ExitCode run_rate(const RateArguments& arguments, const Console& console) {
  try {
    const RateAnswer answer = answer_to(arguments);
    console.out << (arguments.json ? rate_json(answer).dump(
                                         2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) +
                                         '\n'
                                   : rate_text(answer));
    return ExitCode::ok;
  } catch (const std::exception& why) {
    std::istringstream lines(why.what());
    for (std::string line; std::getline(lines, line);) console.err << "braird: " << line << '\n';
    return dynamic_cast<const std::invalid_argument*>(&why) ? ExitCode::usage : ExitCode::trouble;
  }
}

Command rate_command(CLI::App& app) {
  const auto arguments = std::make_shared<RateArguments>();
  return {add_rate(app, *arguments),
          [arguments](const Console& console) { return run_rate(*arguments, console); }};
}

}  // namespace braird::cli
