// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/check.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <map>
#include <sstream>
#include <stdexcept>

#include "calibration/checked_cells.h"
#include "calibration/figure_words.h"
#include "calibration/gap_map.h"
#include "calibration/ledger/census_key.h"
#include "calibration/ledger/check_plan.h"
#include "calibration/ledger/history.h"
#include "calibration/ledger/keep.h"
#include "calibration/ledger/lot_rates.h"
#include "calibration/ledger/notes.h"
#include "cli/check_counts.h"
#include "cli/ledger_place.h"
#include "cli/text/help.h"
#include "cli/tray_labels.h"
#include "cli/whole_file.h"
#include "vision/cell_crops.h"
#include "vision/codecs/codec.h"
#include "vision/photo.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;
using ledger::CheckProposal;
using ledger::FoundCensus;
using ledger::HandCheck;
using ledger::Ledger;

std::string words_for(const FoundCensus& found) {
  const std::string photo = fs::path(found.census.file).filename().string();
  if (found.tag) return fmt::format("tray {} ({})", *found.tag, photo);
  return found.place.many == 1
             ? photo
             : fmt::format("tray {} of {} in {}", found.place.number, found.place.many, photo);
}

/// The photo that was counted, wherever it is now.
vision::Photo counted_photo(const FoundCensus& found, const CheckArguments& arguments) {
  const fs::path place = arguments.photo.empty() ? fs::path(found.census.file) : arguments.photo;
  std::error_code unused;
  if (!fs::exists(place, unused))
    throw std::runtime_error(place.string() +
                             ": the photo is not there any more; say where it is with --photo");
  if (ledger::content_hash(place) != found.census.hash)
    throw std::runtime_error(place.string() +
                             ": this is not the photo that was counted; say where that is with --photo");
  return vision::load_photo(place);
}

fs::path draw_picture(const FoundCensus& found, const CheckArguments& arguments,
                      const std::vector<CheckProposal>& proposals) {
  const vision::Photo photo = counted_photo(found, arguments);
  const Tray& tray = found.census.tray;
  std::vector<vision::CropOrder> orders;
  orders.reserve(proposals.size());
  for (const CheckProposal& proposal : proposals)
    orders.push_back({tray.cells[static_cast<std::size_t>(proposal.cell)].centre_px,
                      place_name(tray.layout, proposal.cell)});
  std::string name = fs::path(found.census.file).stem().string();
  if (found.place.many > 1) name += fmt::format("-{}", found.place.number);
  fs::path picture = arguments.picture.empty()
                         ? fs::path(fmt::format("check-{}.jpg", found.tag.value_or(name)))
                         : arguments.picture;
  write_picture(picture, vision::encode_jpeg(vision::cell_crops(photo.bgr, tray.pitch_px, orders), 92));
  return picture;
}

int cell_of(const TypedCount& count, const FoundCensus& found, const fs::path& file) {
  const Layout& layout = found.census.tray.layout;
  if (count.row > layout.rows || count.col > layout.cols)
    throw std::invalid_argument(
        fmt::format("{}, line {}: row {}, column {} lies outside {}, which has {} x {} cells", file.string(),
                    count.line, count.row, count.col, words_for(found), layout.rows, layout.cols));
  return (count.row - 1) * layout.cols + count.col - 1;
}

/// A table's counts of one tray; whether a cell was drawn at random, the table or the proposals tell.
std::vector<HandCheck> checks_of(const std::vector<TypedCount>& counts, const FoundCensus& found,
                                 const CheckArguments& arguments) {
  std::map<int, int> line_of;
  std::vector<int> cells;
  for (const TypedCount& count : counts) {
    cells.push_back(cell_of(count, found, arguments.counts));
    const auto [known, fresh] = line_of.try_emplace(cells.back(), count.line);
    if (!fresh)
      throw std::invalid_argument(fmt::format(
          "{}, line {}: {} of {} was counted in line {} already", arguments.counts.string(), count.line,
          place_name(found.census.tray.layout, cells.back()), words_for(found), known->second));
  }
  const int drawn = std::max(arguments.random, ledger::drawn_among(found.census, cells));
  const auto proposals = ledger::propose_checks(found.census, drawn, 0);
  std::vector<HandCheck> checks;
  for (std::size_t at = 0; at < counts.size(); ++at) {
    const bool proposed = std::ranges::count(proposals, cells[at], &CheckProposal::cell) > 0;
    checks.push_back({cells[at], counts[at].seedlings, counts[at].drawn.value_or(proposed)});
  }
  return checks;
}

/// Notes the table's counts by tray, and says which tray came last.
FoundCensus note_table(Ledger& ledger, const CheckArguments& arguments, const Console& console) {
  std::istringstream in(read_text(arguments.counts));
  using Name = std::pair<std::optional<std::string>, std::string>;  // photo, tray
  std::map<Name, std::vector<TypedCount>> by_tray;
  for (TypedCount& count : read_counts(in, arguments.counts.string()))
    by_tray[{count.photo, count.photo ? "" : count.tray.value_or(arguments.tray)}].push_back(count);
  std::vector<std::pair<FoundCensus, std::vector<HandCheck>>> noted;
  for (const auto& [name, counts] : by_tray) {
    const FoundCensus found =
        name.first ? ledger::census_of_key(ledger, *name.first) : ledger::find_census(ledger, name.second);
    noted.emplace_back(found, checks_of(counts, found, arguments));
  }
  if (noted.empty()) throw std::invalid_argument(arguments.counts.string() + ": holds no counts");
  for (const auto& [found, checks] : noted) {  // only once the whole table made sense
    ledger::note_checks(ledger, found.census, checks);
    console.out << fmt::format("{}: {} noted\n", words_for(found),
                               counted(static_cast<double>(checks.size()), "hand count", "hand counts"));
  }
  return noted.back().first;
}

std::string state_of_correction(const Ledger& ledger, const FoundCensus& found) {
  const Tray& tray = found.census.tray;
  const std::size_t checks =
      ledger::counter_checks(ledger, {tray.crop, tray.layout, tray.seeds_per_cell}).size();
  if (checks >= kFewestChecks) {
    std::string kind = fmt::format("{} in {}", tray.crop.value_or("unknown crops"), tray_words(tray.layout));
    if (tray.seeds_per_cell) kind += ", " + counted(*tray.seeds_per_cell, "seed", "seeds") + " a cell,";
    return fmt::format(
        "All rates of {} are now corrected by the counter's error in {} cells drawn at random.\n", kind,
        checks);
  }
  return fmt::format(
      "Your counts are kept. To correct the other cells too, count {} of the cells that braird draws at "
      "random ({} so far).\n",
      kFewestChecks, checks);
}

void propose(Ledger& ledger, const CheckArguments& arguments, const Console& console) {
  if (arguments.random + arguments.unsure == 0)
    throw std::invalid_argument("--random 0 and --unsure 0 ask for no cell; say how many to count");
  const FoundCensus found = ledger::find_census(ledger, arguments.tray);
  const auto proposals = ledger::propose_checks(found.census, arguments.random, arguments.unsure);
  if (proposals.empty()) {
    console.out << fmt::format("{}: every cell was checked\n", words_for(found));
    return;
  }
  console.out << fmt::format("{}: look at {} cells in {}\n", words_for(found), proposals.size(),
                             draw_picture(found, arguments, proposals).string());
  if (!console.in) {
    for (const CheckProposal& proposal : proposals)
      console.out << fmt::format("  {}\n", place_name(found.census.tray.layout, proposal.cell));
    console.out << fmt::format(
        "Count them in the picture or in the tray, and tell: braird check {}--random {} --counts FILE "
        "(columns row,col,count)\n",
        arguments.tray.empty() ? "" : fmt::format("\"{}\" ", arguments.tray), arguments.random);
    return;
  }
  const auto checks = ask_counts(*console.in, console.out, found.census.tray.layout, proposals);
  ledger::note_checks(ledger, found.census, checks);
  console.out << counted(static_cast<double>(checks.size()), "hand count", "hand counts") + " noted\n"
              << state_of_correction(ledger, found);
}

}  // namespace

CLI::App* add_check(CLI::App& app, CheckArguments& arguments) {
  CLI::App* check = app.add_subcommand("check", "Count some cells by hand to correct braird's miscounts");
  check->add_option(
      "TRAY", arguments.tray,
      "A tray's tag, or a kept photo (PHOTO:2 for its second tray); without it, the photo kept last");
  check->add_option("--random", arguments.random, "How many cells to draw at random")
      ->capture_default_str()
      ->check(CLI::Range(0, 1000));
  check->add_option("--unsure", arguments.unsure, "How many cells to pick where the counter was unsure")
      ->capture_default_str()
      ->check(CLI::Range(0, 1000));
  check->add_option("--photo", arguments.photo, "Where the photo is now, if it was moved");
  check->add_option("--picture", arguments.picture, "The picture of the cells to look at: a JPEG");
  check->add_option("--counts", arguments.counts,
                    "Hand counts as CSV: columns row,col,count and, for several trays, tray; or what a "
                    "report's page saved");
  add_ledger_option(*check, arguments.ledger);
  set_help(*check, {"--random", "--unsure", "--photo", "--picture", "--counts"},
           "braird check K7 --random 20");
  return check;
}

ExitCode run_check(const CheckArguments& arguments, const Console& console) {
  require_ending("--picture", arguments.picture, {".jpg", ".jpeg"});
  Ledger ledger = standing_ledger(arguments.ledger);
  if (arguments.counts.empty()) {
    propose(ledger, arguments, console);
    return ExitCode::ok;
  }
  const FoundCensus last = note_table(ledger, arguments, console);
  console.out << state_of_correction(ledger, last);
  return ExitCode::ok;
}

}  // namespace braird::cli
