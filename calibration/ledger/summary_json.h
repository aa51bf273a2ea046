// SPDX-License-Identifier: Apache-2.0
// A lot's summary as JSON: what `braird lots --json` prints, one object a lot, format "braird-lot" version 1
// (it only grows), and how the ledger keeps it. RATE is {"estimate", "low", "high", "method"}: shares 0..1
// with their 95 % interval, or null.
//
//   lot, crop, variety, supplier, tested_on, stated_percent, treated     null where not known
//   trays, photos, cells, empty, seedlings, seeds, hand_checked          seeds 0: not known
//   left_out                     early photos that may show any tray
//   germination, gaps            RATE
//   too_young                    trays that these two leave out, since more may come up in them
//   error_checks                 cells by which the rates, or those of some sowings, are corrected; 0: none are
//   trend                        RATE: the latest sowing's germination less the earlier ones', -1..1
//   legal_minimum_percent        7 CFR 201.31, or null
//   suspicions                   sentences
//   sowings                      each: sown_on, rows, cols, lattice, seeds_per_cell, plate, topping,
//                                temperature_c, counts, rates and error_checks as above, last_day, t50
//                                (days), in_the_end
//                                (RATE; null with still_rising: no end can be seen), still_rising,
//                                pack_age_days
//
// `braird lot --json` prints more of its lot:
//
//   decisions                    each: decided_on, sown_on, tag (null where not told), words
//   courses                      of trays with photos of several days, as in cli/text/course_text.h
//   fewest_seeds                 to sow a cell next time, or null, as while more may come up
//   rates                        the lot as in cli/text/rate_json.h; absent without counted trays
#pragma once

#include <nlohmann/json.hpp>

#include "calibration/ledger/lot_summary.h"

namespace braird::ledger {

nlohmann::ordered_json summary_json(const LotSummary& summary);
LotSummary summary_from_json(const nlohmann::ordered_json& object);

}  // namespace braird::ledger
