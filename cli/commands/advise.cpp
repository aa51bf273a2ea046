// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/advise.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <nlohmann/json.hpp>

#include "calibration/json_words.h"
#include "cli/advice_order.h"
#include "cli/ledger_place.h"
#include "cli/text/advise_json.h"
#include "cli/text/advise_text.h"
#include "cli/text/help.h"

namespace braird::cli {
namespace {

void add_counts(CLI::App& advise, AdviseArguments& arguments) {
  advise.add_option(
      "FILE", arguments.files,
      "Counts of one lot's trays, as braird count --json prints them or as CSV for braird rate; - is "
      "standard input");
  advise.add_option("--earlier", arguments.earlier, "Counts of the lot's earlier sowings, likewise");
  advise.add_option("--lot", arguments.lot, "Which lot; without FILE, its trays in the ledger");
  add_told_counts(advise, arguments);
  add_ledger_option(advise, arguments.ledger);
}

void add_dates(CLI::App& advise, AdviseArguments& arguments) {
  advise.add_option("--counted", arguments.counted, "When they were counted, YYYY-MM-DD, if no photo tells");
  advise.add_option("--day", arguments.day, "Days from sowing to the count, in place of dates");
  advise.add_option("--planting", arguments.planting, "When the bed is to be planted, YYYY-MM-DD");
  advise.add_option("--next-temperature", arguments.next_temperature, "Of the medium for the next batch, °C");
}

void add_bed(CLI::App& advise, AdviseArguments& arguments) {
  advise.add_option("--cells", arguments.cells, "How many full cells the bed takes; or tell the bed:");
  advise.add_option("--bed", arguments.bed_m, "Length of the bed, m");
  advise.add_option("--rows", arguments.rows, "Rows along the bed (1)");
  advise.add_option("--spacing", arguments.spacing_cm, "From hole to hole in the row, cm");
  advise.add_option("--every", arguments.every,
                    "Plant every so many-th hole only: 2 doubles the spacing (1)");
  advise.add_option("--beds", arguments.beds, "How many such beds (1)");
  advise.add_option("--tray", arguments.tray,
                    "The tray of the next batch: its name, rows x columns, or its cells");
  advise.add_option("--wanted", arguments.wanted, "Plants wanted in a cell, as 1 or 3-5");
  advise.add_option("--assurance", arguments.assurance_percent, "Wanted chance of enough full cells, % (95)");
}

void add_seed(CLI::App& advise, AdviseArguments& arguments) {
  advise.add_option("--germination", arguments.germination_percent, "As the pack states it, %");
  advise.add_option("--tested", arguments.tested, "When the pack was tested, YYYY-MM-DD");
  advise.add_option("--moisture", arguments.moisture_percent, "Of the stored seed, % (8)");
  advise.add_option("--store-temperature", arguments.store_temperature, "Where the seed was kept, °C (15)");
  advise.add_option("--missed", arguments.missed_percent, "Cells that the sower misses, %");
  advise.add_option("--skips", arguments.skips_percent, "Seeds that the sower skips, %");
  advise.add_option("--doubles", arguments.doubles_percent, "Seeds that come as two, %");
  advise.add_option("--packs", arguments.packs, "Pack sizes on sale, as SEEDS or SEEDS:PRICE, with commas")
      ->delimiter(',');
  advise.add_flag("--treated", arguments.treated, "The seed is treated");
  advise.add_flag("--pelleted", arguments.pelleted, "The seed is pelleted");
}

std::string names_of_values() {
  return fmt::format("Sets one price, time or limit; NAME is one of {}", fmt::join(economy_names(), ", "));
}

void add_prices(CLI::App& advise, AdviseArguments& arguments) {
  advise.add_option("--set", arguments.settings, names_of_values())->type_name("NAME=VALUE");
  advise.add_option("--economy", arguments.economy,
                    "A file of prices, times and limits, like samples/economy.json");
  advise.add_option("--currency", arguments.currency, "What to call the money");
  advise.add_flag("--json", arguments.json, "Print one JSON object");
}

}  // namespace

CLI::App* add_advise(CLI::App& app, AdviseArguments& arguments) {
  CLI::App* advise =
      app.add_subcommand("advise", "Say what to do about these trays, and how to sow the next");
  add_counts(*advise, arguments);
  add_dates(*advise, arguments);
  add_bed(*advise, arguments);
  add_seed(*advise, arguments);
  add_prices(*advise, arguments);
  set_help(*advise,
           {"--lot", "--crop", "--seeds", "--sown", "--counted", "--planting", "--temperature", "--bed",
            "--rows", "--spacing"},
           "braird advise counts.csv --seeds 4 --crop leek --day 11");
  return advise;
}

ExitCode run_advise(const AdviseArguments& arguments, const Console& console) {
  const AdviceReport report = advise_on(advice_request(arguments));
  const SeedKind seed{arguments.treated, arguments.pelleted};
  console.out << (arguments.json ? text_of(advise_json(report, seed), 2) + '\n'
                                 : advise_text(report, seed, console.columns));
  return ExitCode::ok;
}

}  // namespace braird::cli
