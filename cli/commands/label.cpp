// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/label.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <stdexcept>
#include <vector>

#include "calibration/ledger/notes.h"
#include "cli/ledger_place.h"
#include "cli/order.h"
#include "cli/text/help.h"
#include "cli/text/label_sheet.h"
#include "cli/tray_labels.h"
#include "cli/typed_words.h"
#include "cli/whole_file.h"

namespace braird::cli {
namespace {

constexpr int kMostLabels = 1000;

/// labels.svg, labels-2.svg, …
std::filesystem::path sheet_name(const std::filesystem::path& out, std::size_t sheet) {
  if (sheet == 0) return out;
  std::filesystem::path name = out;
  name.replace_filename(fmt::format("{}-{}{}", out.stem().string(), sheet + 1, out.extension().string()));
  return name;
}

/// A sheet printed before stays: its labels can't be made again.
std::filesystem::path next_free_name() {
  std::size_t sheet = 0;
  while (std::filesystem::exists(sheet_name("labels.svg", sheet))) ++sheet;
  return sheet_name("labels.svg", sheet);
}

/// What all labels say but their tag. Throws like `understand`, and where a field does not fit.
TrayLabel common_label(const LabelArguments& arguments, const Order& order) {
  TrayLabel label;
  label.tag = "A1";
  label.lot = order.lot;
  label.crop = order.crop_name;
  if (!arguments.sown.empty()) label.sown_on = arguments.sown;
  label.seeds_per_cell = arguments.seeds;
  label.tray =
      label_words({*order.hints.rows, *order.hints.cols, order.hints.lattice.value_or(LatticeKind::square)});
  label_text(label);
  return label;
}

/// Says which sheet holds which trays.
std::string write_sheets(const std::filesystem::path& out, const TrayLabel& common,
                         const std::vector<std::string>& tags) {
  std::string said;
  for (std::size_t at = 0; at < tags.size(); at += kLabelsASheet) {
    std::vector<TrayLabel> sheet(std::min(kLabelsASheet, tags.size() - at), common);
    for (std::size_t label = 0; label < sheet.size(); ++label) sheet[label].tag = tags[at + label];
    const auto name = out.empty() ? next_free_name() : sheet_name(out, at / kLabelsASheet);
    write_whole_file(name, label_sheet(sheet));
    said += sheet.size() == 1
                ? fmt::format("{}: tray {}\n", name.string(), sheet.front().tag)
                : fmt::format("{}: trays {} to {}\n", name.string(), sheet.front().tag, sheet.back().tag);
  }
  return said;
}

}  // namespace

CLI::App* add_label(CLI::App& app, LabelArguments& arguments) {
  CLI::App* label = app.add_subcommand("label", "Print labels that tell a photo what is sown in a tray");
  label->add_option("--lot", arguments.lot, "The lot, as written on the pack")->required();
  label->add_option("--tray", arguments.tray, "The trays: ROWSxCOLUMNS, or a known name such as plug-128")
      ->required();
  label->add_option("--lattice", arguments.lattice, "How their cells stand: square or staggered");
  label->add_option("--crop", arguments.crop, "What is sown, such as leek");
  label->add_option("--sown", arguments.sown, "When it is sown: YYYY-MM-DD");
  label->add_option("--seeds", arguments.seeds, "How many seeds a cell");
  label->add_option("--many", arguments.many, "How many trays: one label each")->capture_default_str();
  label->add_option(
      "--out", arguments.out,
      "The sheet, as SVG for A4 at full size; more sheets get a number (labels.svg, or the next "
      "free name)");
  add_ledger_option(*label, arguments.ledger);
  set_help(*label, {"--lot", "--tray", "--crop", "--sown", "--seeds", "--many", "--out"},
           "braird label --lot \"Rowan 12\" --tray plug-72 --crop kale --seeds 1 --many 4");
  return label;
}

ExitCode run_label(const LabelArguments& arguments, const Console& console) {
  if (arguments.many < 1 || arguments.many > kMostLabels)
    throw std::invalid_argument(fmt::format("--many {}: must be from 1 to {}", arguments.many, kMostLabels));
  require_ending("--out", arguments.out, {".svg"});
  CountArguments told;
  told.tray = arguments.tray;
  told.lattice = arguments.lattice;
  told.crop = arguments.crop;
  told.sown = arguments.sown;
  told.seeds = arguments.seeds;
  told.lot = lot_called(arguments.lot);
  const Order order = understand(told, built_in_profiles());
  const TrayLabel common = common_label(arguments, order);
  ledger::SowingFacts sowing;
  sowing.sown_on = common.sown_on;
  sowing.layout = *layout_on_label(*common.tray);
  sowing.seeds_per_cell = common.seeds_per_cell;
  ledger::Ledger ledger(ledger_place(arguments.ledger), ledger::Access::write);
  std::string written;
  ledger::new_tagged_trays(
      ledger, *common.lot, common.crop, sowing, arguments.many,
      [&](const std::vector<std::string>& tags) { written = write_sheets(arguments.out, common, tags); });
  console.out << written;
  if (order.crop_name && !order.crop)
    console.err << fmt::format("braird: {}\n", unlisted_crop(built_in_profiles(), *order.crop_name));
  return ExitCode::ok;
}

}  // namespace braird::cli
