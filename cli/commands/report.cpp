// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/report.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <stdexcept>

#include "cli/dates.h"
#include "cli/ledger_place.h"
#include "cli/report/gather.h"
#include "cli/report/page.h"
#include "cli/report/picture_files.h"
#include "cli/text/help.h"
#include "cli/whole_file.h"

namespace braird::cli {
namespace {

using ledger::Access;
using ledger::Ledger;

report::Subject subject_of(const ReportArguments& arguments) {
  if (!arguments.tray.empty() && !arguments.lot.empty())
    throw std::invalid_argument("name a tray or a lot, not both");
  if (!arguments.sown.empty() && arguments.lot.empty())
    throw std::invalid_argument("--sown: names a sowing of a lot; say which lot with --lot");
  const FilterArguments& filter = arguments.filter;
  if (!filter.crop.empty() && !(arguments.tray.empty() && arguments.lot.empty()))
    throw std::invalid_argument("--crop: picks lots of the season; leave it out with a tray or --lot");
  if (!(filter.since.empty() && filter.until.empty()) && !arguments.tray.empty())
    throw std::invalid_argument("--since and --until: pick sowings; leave them out with a tray");
  return {arguments.tray, arguments.lot, told_day("--sown", arguments.sown), filter_of(filter)};
}

}  // namespace

CLI::App* add_report(CLI::App& app, ReportArguments& arguments) {
  CLI::App* report = app.add_subcommand("report", "Write one HTML page about a tray, sowing, lot or season");
  report->add_option(
      "TRAY", arguments.tray,
      "A tray's tag, or a kept photo (PHOTO:2 for its second tray); without it, a lot or the season");
  report->add_option("--lot", arguments.lot, "The lot, as written on the pack");
  report->add_option("--sown", arguments.sown, "With --lot, only its sowing of this day: YYYY-MM-DD");
  add_filter_by_crop(*report, arguments.filter);
  add_filter_by_date(*report, arguments.filter);
  report->add_option("--out", arguments.out, "The page's file")->capture_default_str();
  report->add_option("--pictures", arguments.pictures,
                     "Also write maps and plots (SVG) and marked photos (PNG) into this folder");
  report->add_option("--photos", arguments.photos, "The folder where photos lie that were moved");
  report->add_flag("--without-photos", arguments.without_photos, "Leave photos out of the page");
  add_ledger_option(*report, arguments.ledger);
  set_help(*report, {"--lot", "--sown", "--since", "--until", "--out", "--pictures", "--photos"},
           "braird report --lot \"Rowan 12\" --out rowan.html");
  return report;
}

ExitCode run_report(const ReportArguments& arguments, const Console& console) {
  const report::Subject subject = subject_of(arguments);
  require_ending("--out", arguments.out, {".html", ".htm"});
  Ledger ledger(ledger_place(arguments.ledger), Access::read);
  report::PhotoShelf shelf;
  shelf.wanted = !arguments.without_photos;
  shelf.elsewhere = arguments.photos;
  const report::Report made = report::make_report(ledger, subject, shelf);
  write_whole_file(arguments.out, report::page(made));
  console.out << fmt::format("{}: {}\n", arguments.out.string(), made.title);
  if (!arguments.pictures.empty())
    for (const auto& picture : report::write_pictures(made, arguments.pictures))
      console.out << picture.string() << '\n';
  return ExitCode::ok;
}

}  // namespace braird::cli
