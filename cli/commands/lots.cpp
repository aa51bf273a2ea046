// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/lots.h"

#include <CLI/App.hpp>
#include <stdexcept>

#include "calibration/json_words.h"
#include "calibration/ledger/summary_json.h"
#include "cli/kept_advice.h"
#include "cli/ledger_place.h"
#include "cli/lot_detail.h"
#include "cli/text/course_text.h"
#include "cli/text/help.h"
#include "cli/text/lots_csv.h"
#include "cli/text/lots_text.h"
#include "cli/text/rate_json.h"
#include "cli/text/wrapped.h"

namespace braird::cli {
namespace {

using ledger::Access;
using ledger::Ledger;

/// To keep figures for next time the ledger is opened to write, where that is possible and it is there at
/// all.
Ledger opened(const LotsArguments& arguments) {
  const std::filesystem::path place = ledger_place(arguments.ledger);
  std::error_code unused;
  if (std::filesystem::exists(place, unused)) try {
      return Ledger(place, Access::write);
    } catch (const ledger::LedgerTrouble&) {
      // Reading says what is wrong, if that does not work either.
    }
  return Ledger(place, Access::read);
}

void add_common(CLI::App& command, LotsArguments& arguments) {
  add_filter_by_date(command, arguments.filter);
  add_ledger_option(command, arguments.ledger);
  auto* json = command.add_flag("--json", arguments.json, "Print JSON, one object a lot and line");
  command.add_flag("--csv", arguments.csv, "Print comma-separated values")->excludes(json);
}

nlohmann::ordered_json detail_json(const LotDetail& detail) {
  nlohmann::ordered_json json = ledger::summary_json(detail.summary);
  nlohmann::ordered_json decisions = nlohmann::ordered_json::array();
  for (const ledger::Decision& decision : detail.decisions)
    decisions.push_back({{"decided_on", or_null(decision.decided_on)},
                         {"sown_on", or_null(decision.sown_on)},
                         {"tag", or_null(decision.tag)},
                         {"words", decision.words}});
  json["decisions"] = std::move(decisions);
  json["courses"] = nlohmann::ordered_json::array();
  for (const ledger::TrayCourse& course : detail.courses) json["courses"].push_back(course_json(course));
  const bool sown = detail.advice && !detail.advice->batch.too_poor;
  json["fewest_seeds"] = sown ? nlohmann::ordered_json(detail.advice->batch.chosen) : nullptr;
  if (detail.report) {
    const std::optional<std::string>& crop = detail.summary.facts.crop;
    RateAnswer answer;
    answer.lots.push_back({*detail.report, crop ? find_crop(built_in_profiles(), *crop) : nullptr, {}});
    json["rates"] = rate_json(answer)["lots"][0];
  }
  return json;
}

std::string courses_text(const std::vector<ledger::TrayCourse>& courses) {
  if (courses.empty())
    return "\nNo tray has dated photos of several days yet; keep one each time you look.\n";
  std::string text;
  for (const ledger::TrayCourse& course : courses) text += "\n" + course_text(course);
  return text;
}

}  // namespace

CLI::App* add_lots(CLI::App& app, LotsArguments& arguments) {
  CLI::App* lots = app.add_subcommand("lots", "Compare the seed lots of the ledger, suspicious ones first");
  add_filter_by_crop(*lots, arguments.filter);
  add_common(*lots, arguments);
  set_help(*lots, {"--crop", "--since", "--until", "--json", "--csv"},
           "braird lots --crop kale --since 2026-03-01");
  return lots;
}

ExitCode run_lots(const LotsArguments& arguments, const Console& console) {
  const ledger::Filter filter = filter_of(arguments.filter);
  Ledger ledger = opened(arguments);
  const auto lots = ledger::season(ledger, filter);
  if (arguments.json)
    for (const auto& lot : lots) console.out << text_of(ledger::summary_json(lot)) + '\n';
  else if (arguments.csv)
    console.out << lots_csv(lots);
  else
    console.out << for_terminal(lots.empty() ? why_no_lot(ledger, filter) + '\n' : lots_text(lots),
                                console.columns);
  return ExitCode::ok;
}

CLI::App* add_lot(CLI::App& app, LotsArguments& arguments) {
  CLI::App* lot = app.add_subcommand("lot", "Show one seed lot's history");
  lot->add_option("LOT", arguments.lot, "The lot, as written on the pack")->required();
  lot->add_flag("--cells", arguments.cells,
                "Show when each cell came up, of trays with photos of several days");
  add_common(*lot, arguments);
  set_help(*lot, {"--cells", "--since", "--until", "--json", "--csv"}, "braird lot \"Rowan 12\"");
  return lot;
}

ExitCode run_lot(const LotsArguments& arguments, const Console& console) {
  if (arguments.cells && arguments.csv)
    throw std::invalid_argument("--cells and --csv can't go together; --json tells both");
  const Ledger ledger(ledger_place(arguments.ledger), Access::read);
  const ledger::KeptLot kept = ledger::read_lot(ledger, arguments.lot, filter_of(arguments.filter));
  LotDetail detail = detail_of(ledger, kept);
  if (!detail.more_until && !detail.still_rising) detail.advice = latest_advice(kept);
  if (arguments.json)
    console.out << text_of(detail_json(detail)) + '\n';
  else
    console.out << (arguments.csv ? lot_csv(detail.summary)
                                  : for_terminal(lot_text(detail), console.columns));
  if (arguments.cells && !arguments.json)
    console.out << for_terminal(courses_text(detail.courses), console.columns);
  return ExitCode::ok;
}

}  // namespace braird::cli
