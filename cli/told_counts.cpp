// SPDX-License-Identifier: Apache-2.0
#include "cli/told_counts.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <sstream>
#include <stdexcept>

#include "calibration/checked_list.h"
#include "calibration/letters.h"
#include "calibration/limits.h"
#include "cli/dates.h"
#include "cli/typed_words.h"
#include "cli/whole_file.h"

namespace braird::cli {
namespace {

/// --sown is a number of seeds, or the day.
void understand_sown(const std::string& text, CountsOrder& order) {
  if (text.empty()) return;
  if (const auto seeds = whole_of(text); seeds && *seeds > 0)
    order.hand.sown = *seeds;
  else if (const auto day = day_of(text); day && text.size() == 10)
    order.census.sown_on = day;
  else
    throw std::invalid_argument(
        "--sown " + text +
        ": must be a number of seeds, up to a hundred million, or a date as in 2026-03-19");
}

const CropProfile* crop_called(const std::string& name) {
  if (name.empty()) return nullptr;
  if (const CropProfile* crop = find_crop(built_in_profiles(), name)) return crop;
  const auto meant = nearest_crop(built_in_profiles(), name);
  throw std::invalid_argument("--crop " + name + ": not in the list of crops" +
                              (meant ? "; did you mean " + *meant + "?" : ""));
}

}  // namespace

void add_told_counts(CLI::App& command, ToldCounts& told) {
  command.add_option("--sown", told.sown, "Sowing date, YYYY-MM-DD; for daily counts: how many seeds");
  command.add_option("--seeds", told.seeds, "How many seeds were sown in a cell");
  command.add_option("--lattice", told.lattice,
                     "How the cells of hand-counted trays stand: square or staggered");
  command.add_option("--crop", told.crop, "What was sown, such as leek");
  command.add_option("--temperature", told.temperature, "Of the medium, °C");
  command.add_option(
      "--checked", told.checked,
      "Hand counts of cells drawn at random from the photos, as CSV lot,tray,row,col,count (tray: the "
      "photo's name): corrects the trays they lie in by the counter's error; what braird check keeps also "
      "corrects all others of their crop, shape and seeds");
  command.add_flag("--cumulative", told.cumulative, "Daily counts are totals so far, not newly come up");
}

CountsOrder understand(const ToldCounts& told) {
  CountsOrder order;
  if (told.seeds && (*told.seeds < 1 || *told.seeds > kMostSeedsPerCell))
    throw std::invalid_argument(
        fmt::format("--seeds {}: must be from 1 to {}", *told.seeds, kMostSeedsPerCell));
  if (told.temperature && !can_be_medium(*told.temperature))
    throw std::invalid_argument(fmt::format("--temperature {}: must be {}", *told.temperature, kOfMedium));
  order.hand.seeds = order.census.seeds = told.seeds;
  order.hand.lattice = lattice_called(told.lattice).value_or(LatticeKind::square);
  if (told.cumulative) order.hand.daily = DailyCounts::up_in_all;
  if (!told.lot.empty()) order.census.lot = lot_name(told.lot);
  understand_sown(told.sown, order);
  order.crop = crop_called(told.crop);
  if (order.crop) order.hand.seed = order.crop->seed;
  return order;
}

CountFiles read_told_counts(const ToldCounts& told, const CountsOrder& order) {
  CountFiles read = read_count_files(told.files, order.hand, order.census);
  if (told.checked.empty()) return read;
  std::istringstream in(read_text(told.checked));
  add_checked(read.lots, in, told.checked.string());
  return read;
}

}  // namespace braird::cli
