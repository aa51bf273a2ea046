// SPDX-License-Identifier: Apache-2.0
// What can be done about the trays that stand there, and what does each choice bring?
//
//   accept       leave them; what still comes, comes
//   wait         look again on a later day, then fill or resow what is missing
//   fill         move plants from cells that have one to spare into empty cells
//   resow_gaps   sow the empty cells again; they lag behind by the trays' age
//   fresh_tray   sow whole trays beside the old ones
//
// Full cells at planting are counted for each way the stand may go on (belief.h) by their first two moments;
// the chance to reach the need is averaged over these ways. The best choice is the one with the least cost:
// money and work spent, and what the cells still missing would have brought. New sowings that can't be
// planted on the day bring nothing.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calibration/belief.h"
#include "calibration/economy.h"
#include "calibration/next_batch.h"

namespace braird {

enum class OptionKind { accept, wait, fill, resow_gaps, fresh_tray };
/// As they are called above.
const char* name_of(OptionKind kind);

/// What the choice depends on, beside the belief.
struct OptionTerms {
  std::vector<SeenTray> trays;             ///< the stand, as in the evidence of the belief
  double count_variance = 0;               ///< of the number of full cells, from the counter's doubt
  std::optional<double> day;               ///< of the count, since sowing
  std::optional<double> look_again_on;     ///< the day until which it may be worth waiting
  std::optional<double> days_to_planting;  ///< from the count, ≥ 0
  int need = 1;                            ///< full cells at planting
  bool need_told = false;                  ///< else every gap is worth closing
  int new_seeds = 1;                       ///< a cell, where cells are sown anew; 0: not with this seed
  BatchTerms batch;                        ///< wanted plants, sower, cells of a tray, prices
};

struct TrayOption {
  OptionKind kind = OptionKind::accept;
  int cells = 0;          ///< filled, resown or sown anew
  int trays = 0;          ///< sown anew
  double full_cells = 0;  ///< expected at planting
  double plants = 0;      ///< expected
  double seeds = 0;       ///< used
  double minutes = 0;     ///< of work
  double money = 0;       ///< spent, work included
  double missing = 0;     ///< expected cells short of the need
  double cost = 0;        ///< money, and what missing and lagging cells would have brought
  double chance = 0;      ///< to reach the need
  double lag_days = 0;    ///< of cells sown anew behind the others
  bool in_time = true;    ///< new cells can be planted on the day
};

/// What waiting is good for.
struct WorthWaiting {
  double until_day = 0;  ///< since sowing
  double to_come = 0;    ///< seedlings expected until then
  double at_least = 0;   ///< as many or more come …
  double sure = 0;       ///< … with this chance (80 % or a little more)
};

struct TrayOptions {
  int cells = 0, full = 0, empty = 0, plants = 0;
  int spare = 0;                    ///< plants above the fewest wanted, in cells that keep enough
  int fillable = 0;                 ///< gaps that the spare plants can fill
  std::vector<TrayOption> options;  ///< by cost, the least first
  std::optional<WorthWaiting> waiting;
};

/// Throws std::invalid_argument without counted cells, or for numbers out of range.
TrayOptions tray_options(const Belief& belief, const OptionTerms& terms);

/// Which change of price, need or date would put another choice first? Whole sentences.
std::vector<std::string> what_would_change(const Belief& belief, const OptionTerms& terms);

}  // namespace braird
