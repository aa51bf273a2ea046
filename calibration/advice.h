// SPDX-License-Identifier: Apache-2.0
// What does one count say about a tray, and what should be done now?
//
// Rules; the first that applies (shares without a source are common practice):
//
//   wait                 nothing has come up, seeds lie in view, and it isn't late
//   look at the picture  the cells may be misplaced (fit under 0.8), or over a fifth could not be told
//   wait                 what follows would fill, test or resow, but more may come up: it is not yet the
//                        final count day of the germination test (7 CFR 201.58), or not yet the days to
//                        emergence at 15 °C, or on a bench whose temperature is told the courses that its
//                        counts leave likely (belief.h) are not done
//   fill, test the lot   the whole interval of germination is below the legal minimum for seed on sale
//   resow                over 40 % of the cells are gaps
//   fill                 over 10 % of the cells are gaps, or more than this germination explains
//   accept               otherwise
//
// Where crop or day isn't told, or the crop's days aren't known, whether more may come up can't be weighed;
// advice that would cost a young tray its seedlings then says so.
//
// The shares of gaps stand in samples/economy.json. grower_advice.h weighs the choices by chances and costs;
// where nothing of bed, date or prices is told, it puts first what these rules say, so that the two never
// contradict each other.
#pragma once

#include <optional>
#include <string>

#include "calibration/gaps.h"
#include "calibration/profiles.h"
#include "calibration/rates.h"

namespace braird {

/// What is known of a counted tray.
struct Evidence {
  TraySummary summary;
  double fit = 1;
  Estimate gaps;                                 ///< share of cells
  std::optional<Estimate> germination;           ///< seedlings a seed sown; not without the number of seeds
  std::optional<Estimate> alive;                 ///< of seed clusters, the share that gave any seedling
  std::optional<GapExplanation> explanation;     ///< not without the number of seeds, nor where nothing is up
  std::optional<int> age_days;                   ///< from sowing to the photo, ≥ 0
  std::string untold_day = "the day of sowing";  ///< which it lacks, where it isn't known
  const CropProfile* crop = nullptr;             ///< null: not known
  std::optional<double> seeds_in_view;           ///< as in the census
  std::optional<int> late_until;                 ///< on a bench known to be slow, the day on which it is up
};

enum class Action { look_at_picture, wait, fill_and_test_lot, resow, fill, accept };

struct Advice {
  Action action = Action::accept;
  std::string what;            ///< a sentence in the imperative
  std::string why;             ///< a sentence, or several
  std::optional<int> until{};  ///< the day after sowing on which to count again, if to wait
};

/// Gathers the figures of a tray with at least one cell. `crop` may be null.
Evidence weigh(const Tray& tray, const CropProfile* crop, std::optional<int> age_days);

/// The day by which this crop is up as far as it will come; 0 if that is not known.
int telling_day(const CropProfile& crop);

/// Likewise; of a crop that is not told (null), or has no such day, the day on which the slowest is up.
int latest_telling_day(const CropProfile* crop);

/// What to do now, by the rules above.
Advice advise(const Evidence& evidence);

}  // namespace braird
