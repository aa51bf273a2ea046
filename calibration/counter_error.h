// SPDX-License-Identifier: Apache-2.0
// The photo counter errs. What is the true rate, and how sure is it, once some cells were checked by hand?
//
//   what is known                                                    ask
//   how often the counter is right, from elsewhere, and certain      rogan_gladen
//   the same, but itself estimated from some checked cells           lang_reiczigel
//   the truth of a random part of these very cells, yes or no        tenenbein
//   the same for a number (seedlings in a cell)                      power_tuned_mean
//   the same of a lot's trays, seeds of a cell failing together      checked_germination_rate (the default;
//                                                                    checked_cells.h)
//
// Correcting the rate but keeping the uncorrected interval can push its coverage down to 60 % (Reiczigel,
// Földi & Ózsvári 2010, Epidemiol Infect 138:1674-1678); all of these carry the error's own uncertainty
// through.
//
// Checked cells must be a random part of all cells, else the corrected rate is skewed; for a part chosen
// where the counter is unsure see which_to_check.h. All throw std::invalid_argument for counts out of range.
#pragma once

#include <span>
#include <string>

#include "calibration/interval.h"

namespace braird {

/// How often is the counter right? Both in [0, 1], together > 1 (better than a coin).
struct CounterAccuracy {
  double sensitivity = 1;  ///< chance that what is there is seen
  double specificity = 1;  ///< chance that what isn't there isn't seen
};

/// The corrected share, known accuracy; limits by the delta method, the estimate and limits cut to [0, 1].
/// Rogan & Gladen 1978, Am J Epidemiol 107:71-76.
Estimate rogan_gladen(Share seen, CounterAccuracy accuracy, double confidence = 0.95);

/// The same, with the limits of any interval of the uncorrected share carried over.
Interval corrected(Interval seen, CounterAccuracy accuracy);

/// How the accuracy was found: of `present` cells that truly had a plant `detected` were seen as such, of
/// `absent` cells `cleared` were seen as empty.
struct AccuracyTrial {
  double detected = 0, present = 0;
  double cleared = 0, absent = 0;
};

/// Rogan and Gladen's share and limits with estimated accuracy, by the delta method: symmetrical, and too
/// narrow for rare or common shares. present, absent > 0.
Estimate rogan_gladen_estimated(Share seen, const AccuracyTrial& trial, double confidence = 0.95);

/// The corrected share with estimated accuracy. Lang & Reiczigel 2014, Prev Vet Med 113:13-22. present,
/// absent > 0.
Estimate lang_reiczigel(Share seen, const AccuracyTrial& trial, double confidence = 0.95);

/// Cells checked by hand, by what is true and what the counter said, and how many others it called yes.
struct DoubleSample {
  double both = 0, only_truth = 0, only_counter = 0, neither = 0;
  double unchecked_yes = 0, unchecked = 0;
};

struct TenenbeinFit {
  Estimate share;
  double standard_error = 0;
  double false_negative = 0;  ///< of the true yes, the share that the counter missed
  double false_positive = 0;  ///< of the true no, the share that the counter saw as yes
  double reliability = 0;     ///< K, squared correlation of counter and truth, 0..1
};

/// The share with both samples used to the full (maximum likelihood). Tenenbein 1970, JASA 65:1350-1361. Some
/// checked cell must have been called yes and some no.
TenenbeinFit tenenbein(const DoubleSample& cells, double confidence = 0.95);

/// A checked cell: what is there and what the counter said (a count, or its expected number).
struct CheckedCell {
  double truth = 0;
  double counted = 0;
};

struct CorrectedMean {
  Estimate mean;  ///< not cut to any range
  double standard_error = 0;
  double trust = 1;  ///< λ: 0 uses the checked cells alone, 1 the counter in full
};

/// The mean over all cells: the counter's mean, moved by its mean error in the checked cells.
/// Prediction-powered inference, Angelopoulos et al. 2023, Science 382:669. Worse than the checked cells
/// alone if the counter is poor.
CorrectedMean prediction_powered_mean(std::span<const CheckedCell> checked, std::span<const double> unchecked,
                                      double confidence = 0.95);

/// The same with as much trust in the counter as it has earned, so never much worse than either alone.
/// Angelopoulos, Duchi & Zrnic 2023, "PPI++". Both need two checked cells; with none unchecked, the
/// checked mean.
CorrectedMean power_tuned_mean(std::span<const CheckedCell> checked, std::span<const double> unchecked,
                               double confidence = 0.95);

}  // namespace braird
