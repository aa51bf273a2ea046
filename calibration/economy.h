// SPDX-License-Identifier: Apache-2.0
// What do seed, work, bench and gaps cost, and which limits does the grower set? One small list
// (samples/economy.json) built into the program; every value can be overridden by name.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace braird {

/// Money in one currency; shares 0..1. None of the defaults has a source (common practice, or a guess).
struct Economy {
  std::string currency;        ///< a label
  double seed_price = 0;       ///< of one seed
  double hour_price = 0;       ///< of work
  double tray_price = 0;       ///< medium, bench and heat of one tray until planting
  double bench_day_price = 0;  ///< of one tray for one more day
  double full_cell_worth = 0;  ///< what a full cell that the bed lacks at planting would have brought
  double lost_a_lag_day = 0;   ///< share of that lost for each day that a cell lags behind the others
  double minutes_to_sow_tray = 0;
  double minutes_to_fill_gap = 0;  ///< by moving plants
  double minutes_to_resow_gap = 0;
  double minutes_to_thin_plant = 0;
  double moved_plants_live = 0;   ///< share of the moved plants that take
  double least_days_in_tray = 0;  ///< from sowing until a cell can be planted
  double gap_limit = 0;           ///< largest share of cells that may hold fewer plants than wanted
  double assurance = 0;           ///< wanted chance that enough cells are full
  double worth_filling = 0;       ///< share of gaps from which on filling is worth the work
  double worth_resowing = 0;      ///< share of gaps from which on the tray is resown
  double pack_worth_seeds = 0;    ///< the pack's germination is trusted like a trial of so many seeds
};

/// The names that `set` knows, in the order of the list.
std::vector<std::string> economy_names();

/// Every value by its name.
std::vector<std::pair<std::string, double>> values_of(const Economy& economy);

/// Is this the name of a price or of a time, so that whoever sets it wants costs weighed?
bool is_price(const std::string& name);

/// Throws std::invalid_argument with one sentence for an unknown name or a value out of range.
void set(Economy& economy, const std::string& name, double value);

/// `economy` with the values of a list. Throws std::invalid_argument with one sentence for a list that is
/// none, is of a newer version, or holds a bad value.
Economy with_list(Economy economy, const std::string& json);

/// The list this program was built with.
const Economy& built_in_economy();

}  // namespace braird
