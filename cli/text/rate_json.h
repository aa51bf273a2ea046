// SPDX-License-Identifier: Apache-2.0
// What `braird rate --json` prints: one object, format "braird-rates" version 1. It only grows.
//
//   {"format": "braird-rates", "version": 1, "lots": [LOT…], "across_lots": {…} or null,
//   "minimum_germination": {…} or null}
//
// `across_lots` has the fields of `overdispersion` below; `minimum_germination`, of seed on sale, has crop,
// united_states_percent, european_union_percent (null where there is none) and caution, a sentence; it is
// null unless the lots' crops have one, and only one of them.
//
// RATE is {"estimate", "low", "high", "method"}: shares 0..1 with their 95 % interval (a germination rate of
// seed clusters may exceed 1); where a rate can't be had the three numbers are null and `method` says why. A
// LOT holds
//
//   lot, trays, cells, empty, seedlings
//   crop                                              as told, else as the photos say; null if not in the list
//   surplus                                           seedlings more than the seeds sown in their cells,
//                                                     left out of the germination rate (0 for clusters)
//   seeds_sown                                        null if unknown
//   germination_rate, gap_rate                        RATE: seedlings per seed sown, empty cells per cell. Of
//                                                     photos, wider by the counter's doubt, or corrected by
//                                                     cells checked by hand (`method` says so)
//   overdispersion   unit ("cells" or "replicates"), rho and rho_error (0..1), tarone_z, log_likelihood,
//                    binomial_log_likelihood, design_effect; all null where it can't be told, as of a single
//                    replicate
//   gaps             null, or seen, expected, usual [low, high], p_more, p_fewer, verdict, cause, missed,
//                    sentence
//   findings         each: kind, tray (null: several), place, sentence, p_value, p_adjusted, difference (RATE
//                    or null): of the gap rates there and elsewhere; of an edge told by its plants of the
//                    shares of seeds that failed
//   time_course      null without days. germinated; t50_coolbear, t50_farooq, t10, t90,
//                    mean_germination_time, variance, mean_rate, velocity, rate_index, speed, synchrony,
//                    uncertainty, uniformity (days; null where nothing came up), final_rate (RATE), fit (or
//                    null): d, b, e of d / (1 + exp(b (ln t − ln e))), standard_errors {d, b, e},
//                    log_likelihood, settled
//   too_early        too_early, up_by_now, judge_on (day), sentence; null unless crop and days are known
//   replicates       mean_percent, range, tolerance, acceptable, sentence; null unless 2 or 4 replicates of
//                    100 seeds
//   check_next       cells worth a hand check: tray, row, col (from 0), place
//   remarks          sentences
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "cli/text/rate_text.h"

namespace braird::cli {

nlohmann::ordered_json rate_json(const RateAnswer& answer);

}  // namespace braird::cli
