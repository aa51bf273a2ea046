// SPDX-License-Identifier: Apache-2.0
#include "cli/text/seeds_answer.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <vector>

#include "calibration/figure_words.h"
#include "calibration/sowing_check.h"
#include "cli/text/answer_parts.h"

namespace braird::cli {
namespace {

/// Beyond this share of cells to mend, the sower is at fault rather than a hole. Common practice, no source.
constexpr double kSowAgain = 0.3;

constexpr const char* kCare =
    "  Care         If the seed is treated or pelleted: gloves, and never eat it or feed it; wash hands.\n"
    "               Local rules and the seed label come first.\n\n";

std::string from(const Estimate& share, const TraySummary& sum, const std::string& what) {
  return fmt::format("{:.0f} of {} cells {}", share.estimate * sum.cells, sum.cells, what);
}

std::string drop_lines(const Tray& tray, int seeds, const TraySummary& sum) {
  const DropShares shares = drop_shares(tray, seeds);
  const std::string missed = rate_line("Missed", shares.missed, from(shares.missed, sum, "got no seed"));
  if (!tray.seeds_per_cell)
    return missed + "  For skips and doubles, tell how many seeds the sower was set to: --seeds N\n";
  if (!single_seeds_told(tray))
    return missed +
           fmt::format(
               "  In some {:.0f} of 100 cells the number may be one off, so skips and doubles are not "
               "told, and only cells\n  without any seed are to be mended. Nearer and sharper, the "
               "photo may tell.\n",
               100 * misnumbered(tray));
  std::string text =
      rate_line("Skips", shares.skips, from(shares.skips, sum, fmt::format("got fewer than {}", seeds))) +
      rate_line("Doubles", shares.doubles, from(shares.doubles, sum, fmt::format("got more than {}", seeds)));
  return seeds > 1 ? text + missed : text;
}

/// "7", "7 (2 seeds)", "7 (look first)".
std::string place_words(const Mending& cell) {
  std::vector<std::string> notes;
  if (cell.lacks > 1) notes.push_back(fmt::format("{} seeds", cell.lacks));
  if (cell.review) notes.push_back("look first");
  return fmt::format("{}{}", cell.col + 1, notes.empty() ? "" : fmt::format(" ({})", fmt::join(notes, ", ")));
}

/// A line a row, in walking order; columns as they come.
std::string walk_lines(const std::vector<Mending>& walk) {
  std::string text;
  for (std::size_t i = 0; i < walk.size(); ++i) {
    const bool starts = i == 0 || walk[i].row != walk[i - 1].row;
    text += starts ? fmt::format("{}                 row {}, column ", i == 0 ? "" : "\n", walk[i].row + 1)
                   : ", ";
    text += place_words(walk[i]);
  }
  return walk.empty() ? "" : text + "\n";
}

std::string what_to_do(const Tray& tray, int seeds) {
  const std::vector<Mending> walk = cells_to_mend(tray, seeds);
  const auto lacking = static_cast<int>(walk.size());
  if (walk.empty())
    return fmt::format("  What to do   Cover the tray: every cell has {}.\n",
                       seeds == 1 || single_seeds_told(tray) ? "its seed" : "seed");
  int lacks = 0;
  for (const Mending& cell : walk) lacks += cell.lacks;
  if (lacking > kSowAgain * static_cast<double>(tray.cells.size()))
    return fmt::format(
        "  What to do   Mend the sower before the tray: {} lack seed, too many to fill by hand.\n",
        counted(lacking, "cell", "cells"));
  return fmt::format(
             "  What to do   Add {} before you cover the tray, in this order (diamonds in the picture that "
             "--marked writes):\n",
             counted(lacks, "seed", "seeds")) +
         walk_lines(walk);
}

}  // namespace

std::string seeds_answer(const Census& census, std::size_t number, const Order& order) {
  const Tray& tray = census.trays[number];
  const TraySummary sum = summarise(tray);
  const int seeds = tray.seeds_per_cell.value_or(1);
  std::string text =
      heading(census, number, order) + counts(sum, "seed") + "\n" + drop_lines(tray, seeds, sum);
  for (const std::string& fault : sower_faults(tray, seeds)) text += "  " + fault + "\n";
  return text + "\n" + what_to_do(tray, seeds) + kCare;
}

std::string holes_answer(std::span<const Tray> trays) {
  if (trays.size() < 2) return "";
  std::string text;
  for (const std::string& hole : failed_holes(trays, trays[0].seeds_per_cell.value_or(1)))
    text += "  " + hole + "\n";
  return text.empty()
             ? ""
             : fmt::format("All {} trays, if they lay the same way round:\n\n", trays.size()) + text + "\n";
}

}  // namespace braird::cli
