// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/note.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <stdexcept>

#include "calibration/ledger/history.h"
#include "calibration/ledger/keep.h"
#include "calibration/ledger/misspelt_lot.h"
#include "calibration/ledger/notes.h"
#include "calibration/limits.h"
#include "calibration/profiles.h"
#include "cli/dates.h"
#include "cli/ledger_place.h"
#include "cli/text/help.h"
#include "cli/typed_words.h"

namespace braird::cli {
namespace {

std::optional<std::string> some(const std::string& text) {
  return text.empty() ? std::nullopt : std::optional(text);
}

std::optional<bool> yes_or_no(const char* option, const std::string& text) {
  if (text.empty()) return std::nullopt;
  if (text == "yes" || text == "no") return text == "yes";
  throw std::invalid_argument(fmt::format("{} {}: must be yes or no", option, text));
}

/// As the ledger would refuse them, which knows no options.
void check_facts(const NoteArguments& arguments) {
  if (const auto stated = arguments.stated; stated && !ledger::can_be_stated(*stated))
    throw std::invalid_argument(fmt::format("--stated {}: must be {}", *stated, ledger::kOfStated));
  if (const auto celsius = arguments.temperature; celsius && !can_be_medium(*celsius))
    throw std::invalid_argument(fmt::format("--temperature {}: must be {}", *celsius, kOfMedium));
}

bool has_photos(const ledger::KeptLot& lot) {
  return std::ranges::any_of(lot.sowings, [](const ledger::KeptSowing& sowing) {
    return std::ranges::any_of(sowing.trays, [](const auto& tray) { return !tray.censuses.empty(); });
  });
}

}  // namespace

CLI::App* add_note(CLI::App& app, NoteArguments& arguments) {
  CLI::App* note = app.add_subcommand("note", "Write down in the ledger what no photo tells");
  note->add_option("LOT", arguments.lot, "The lot, as written on the pack")->required();
  note->add_option("--crop", arguments.crop, "What it is, such as leek");
  note->add_option("--variety", arguments.variety, "Its variety");
  note->add_option("--supplier", arguments.supplier, "Who sold it");
  note->add_option("--tested", arguments.tested, "When the pack says it was tested: YYYY-MM-DD");
  note->add_option("--stated", arguments.stated, "The germination that the pack states, in per cent");
  note->add_option("--treated", arguments.treated, "Whether the seed is treated: yes or no");
  note->add_option("--sown", arguments.sown, "The sowing that the rest is about: YYYY-MM-DD");
  note->add_option("--plate", arguments.plate, "The sower's plate or drum");
  note->add_option("--topping", arguments.topping, "What covers the seed");
  note->add_option("--temperature", arguments.temperature, "Of the medium, in °C");
  note->add_option("--tag", arguments.tag, "The tray that the decision is about");
  note->add_option("--decided", arguments.decided, "What was decided, in your words");
  note->add_option("--on", arguments.on, "The day of the decision: YYYY-MM-DD");
  add_ledger_option(*note, arguments.ledger);
  set_help(
      *note,
      {"--crop", "--supplier", "--tested", "--stated", "--treated", "--sown", "--plate", "--decided", "--on"},
      "braird note \"Rowan 12\" --supplier Ebbwater --stated 92 --tested 2025-11-20");
  return note;
}

ExitCode run_note(const NoteArguments& arguments, const Console& console) {
  check_facts(arguments);
  ledger::LotFacts lot{lot_called(arguments.lot),
                       crop_name_of(arguments.crop),
                       some(arguments.variety),
                       some(arguments.supplier),
                       told_day("--tested", arguments.tested),
                       arguments.stated,
                       yes_or_no("--treated", arguments.treated)};
  ledger::SowingFacts sowing;
  sowing.sown_on = told_day("--sown", arguments.sown);
  sowing.plate = some(arguments.plate);
  sowing.topping = some(arguments.topping);
  sowing.temperature_c = arguments.temperature;
  const bool of_sowing = sowing.plate || sowing.topping || sowing.temperature_c;
  if (of_sowing && !sowing.sown_on)
    throw std::invalid_argument("--sown: say which sowing has this plate, topping or temperature");
  const ledger::Decision decision{told_day("--on", arguments.on), sowing.sown_on, some(arguments.tag),
                                  arguments.decided};
  const bool decided = !decision.words.empty();
  ledger::Note note{lot};
  if (of_sowing) note.sowing = sowing;
  if (decided) note.decision = decision;
  ledger::Ledger ledger(ledger_place(arguments.ledger), ledger::Access::write);
  const auto former_crop = crop_of_lot(ledger, lot.name);
  if (take_note(ledger, note)) {
    console.out << "new lot " << lot.name << '\n';
    if (const auto meant = lot_spelt_like(ledger.file(), lot.name))
      console.err << fmt::format("braird: if {} was meant, take this back with braird undo\n", *meant);
  }
  if (lot.crop && former_crop && lot.crop != former_crop && has_photos(ledger::read_lot(ledger, lot.name)))
    console.err << fmt::format(
        "braird: photos that were counted as {} keep those counts until they are counted again: braird count "
        "--keep PHOTO\n",
        *former_crop);
  if (lot.crop && !find_crop(built_in_profiles(), *lot.crop))
    console.err << fmt::format("braird: {}\n", unlisted_crop(built_in_profiles(), *lot.crop));
  if (!decided && (decision.decided_on || decision.tag))
    console.err << fmt::format("braird: {} not used; what was decided is told with --decided\n",
                               !decision.tag          ? "--on was"
                               : !decision.decided_on ? "--tag was"
                                                      : "--on and --tag were");
  if (sowing.sown_on && !of_sowing && !decided)
    console.err << "braird: --sown was not used; it says which sowing --plate, --topping, --temperature or "
                   "--decided is about\n";
  if (lot.treated.value_or(false))
    console.err
        << "braird: treated seed: wear gloves, keep it from food, feed and animals, and follow its label and "
           "your local rules\n";
  return ExitCode::ok;
}

CLI::App* add_undo(CLI::App& app, UndoArguments& arguments) {
  CLI::App* undo = app.add_subcommand("undo", "Take the last change of the ledger back");
  add_ledger_option(*undo, arguments.ledger);
  set_help(*undo, {"--ledger"}, "braird undo");
  return undo;
}

ExitCode run_undo(const UndoArguments& arguments, const Console& console) {
  ledger::Ledger ledger = standing_ledger(arguments.ledger);
  const auto undone = ledger.undo();
  for (const std::string& words : undone) console.out << "taken back: " << words << '\n';
  if (undone.empty())
    console.out
        << "there is nothing to take back; the last five changes can be, but for one of over 64 MB, as "
           "the import of a large season, and what came before it\n";
  return ExitCode::ok;
}

}  // namespace braird::cli
