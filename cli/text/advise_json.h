// SPDX-License-Identifier: Apache-2.0
// What `braird advise --json` prints: one object, format "braird-advice" version 1. It only grows.
//
//   lot, crop, day        null if not known
//   germination           estimate, low, high (95 %), method: of this sowing once all are up, 0..1, or
//                         seedlings a cluster; still_to_come, the share of what will come that is not up yet
//   wanted                [fewest, most] plants in a cell
//   this_tray             null without counted cells:
//     cells, full, empty, plants, spare, fillable, need
//     rule                action and sentence of `braird count` for the same cells
//     ranked_by           "rule" (nothing of bed, date or prices was told) or "cost"
//     waiting             until_day, to_come (seedlings), at_least, sure (chance of that many); or null
//     options[]           best first: option ("accept", "wait", "fill", "resow_gaps", "fresh_tray"), cells
//                         and trays treated, full_cells, plants, seeds, minutes, money (spent, work
//                         included), missing (cells short of the need), cost (money and what they would have
//                         brought), chance (to reach the need, 0..1), lag_days, in_time, sentence
//     first_is_advised    false where what is to be done is none of the options
//     why, would_change   sentences
//   next_batch            chosen (seeds a cell), chosen_by ("cost" or "gap_limit"), second,
//                         second_costs_more (money a usable cell), chosen_if_poor, chosen_if_good (at the
//                         ends of the range of germination), warmth (factor put on germination, or null),
//                         too_poor (no number of seeds does; `chosen` is then not advised)
//     table[]             seeds_per_cell, empty, below (fewer than wanted, none included), within, above
//                         (chances; the last three sum to 1), plants, seeds, cost (of a usable cell; null
//                         where none is)
//   to_sow                null unless a bed or a number of cells was told: need, bed_trays, cells, trays,
//                         seeds, seeds_per_tray, assurance, chance (that `cells` do), chance_of_trays,
//                         order {packs, seeds, price} or null; or {need, reason} where no number would do
//   sower                 missed, skips, doubles (shares, as told or as the counts suggest)
//   suspects[]            suspect, weight ("likely", "possible", "open", "unlikely"), sentence
//   economy               currency, and every price, time and limit by name
//   cautions, remarks     sentences
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "calibration/grower_advice.h"
#include "cli/text/cautions.h"

namespace braird::cli {

nlohmann::ordered_json advise_json(const AdviceReport& report, const SeedKind& seed);

}  // namespace braird::cli
