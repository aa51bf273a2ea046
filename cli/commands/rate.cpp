// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/rate.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "calibration/json_words.h"
#include "cli/text/help.h"
#include "cli/text/rate_json.h"
#include "cli/text/rate_text.h"
#include "cli/text/wrapped.h"

namespace braird::cli {
namespace {

// What is told of photos or daily counts, where there are none.
void refuse_idle(const RateArguments& arguments, const CountsOrder& order, const CountFiles& read) {
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
  if (arguments.temperature && !order.crop && !crop_of(read.censuses))
    throw std::invalid_argument(fmt::format(
        "--temperature {}: how long that makes a crop take is told by --crop", *arguments.temperature));
}

RateAnswer answer_to(const RateArguments& arguments) {
  const CountsOrder order = understand(arguments);
  const CountFiles read = read_told_counts(arguments, order);
  refuse_idle(arguments, order, read);
  RateAnswer answer;
  for (const Lot& lot : read.lots) {
    const CropProfile* crop =
        order.crop ? order.crop : crop_of(giving_rates(read.censuses, lot.name, order.census));
    answer.lots.push_back({report_on(lot), crop, {}});
    if (crop) answer.lots.back().patience = patience_with(lot, *crop, arguments.temperature);
  }
  answer.across_lots = overdispersion_across(read.lots);
  return answer;
}

}  // namespace

CLI::App* add_rate(CLI::App& app, RateArguments& arguments) {
  CLI::App* rate = app.add_subcommand("rate", "Say what came up, how surely, and why cells stayed empty");
  rate->add_option("FILE", arguments.files,
                   "Counts: what braird count --json printed, or hand counts as CSV with the columns "
                   "lot,tray,row,col,count or lot,sown,germinated or lot,day,germinated; - is standard input")
      ->required();
  rate->add_option("--lot", arguments.lot, "The seed lot of photos that name none");
  add_told_counts(*rate, arguments);
  rate->add_flag("--json", arguments.json, "Print one JSON object");
  set_help(*rate, {"--seeds", "--sown", "--lot", "--crop", "--temperature", "--checked", "--json"},
           "braird rate --lot \"Rowan 12\" bench.jsonl");
  return rate;
}

ExitCode run_rate(const RateArguments& arguments, const Console& console) {
  const RateAnswer answer = answer_to(arguments);
  console.out << (arguments.json ? text_of(rate_json(answer), 2) + '\n'
                                 : for_terminal(rate_text(answer), console.columns));
  return ExitCode::ok;
}

}  // namespace braird::cli
