// SPDX-License-Identifier: Apache-2.0
#include "calibration/counter_error.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "calibration/require.h"

namespace braird {
namespace {

// Youden's J: by how much a yes is likelier where there is something.
double discrimination(CounterAccuracy accuracy) {
  require(accuracy.sensitivity >= 0 && accuracy.sensitivity <= 1, "sensitivity", accuracy.sensitivity,
          "between 0 and 1");
  require(accuracy.specificity >= 0 && accuracy.specificity <= 1, "specificity", accuracy.specificity,
          "between 0 and 1");
  const double j = accuracy.sensitivity + accuracy.specificity - 1;
  require(j > 0, "sensitivity + specificity", j + 1, "> 1");
  return j;
}

double unclipped(double seen, CounterAccuracy accuracy) {
  return (seen + accuracy.specificity - 1) / discrimination(accuracy);
}

double clip(double share) {
  return std::clamp(share, 0.0, 1.0);
}

void check_share(Share share) {
  require(share.n > 0, "n", share.n, "> 0");
  require(share.count >= 0 && share.count <= share.n, "count", share.count, "between 0 and n");
}

// One success added on each side keeps the accuracy off 0 and 1.
CounterAccuracy smoothed(const AccuracyTrial& trial) {
  return {(trial.detected + 1) / (trial.present + 2), (trial.cleared + 1) / (trial.absent + 2)};
}

// One share of a sum of variances: p (1 − p) / n.
double share_variance(double share, double n) {
  return share * (1 - share) / n;
}

// By the delta method; variances of what was seen, of the sensitivity and of the specificity.
double corrected_error(double share, double seen, double misses, double false_finds,
                       CounterAccuracy accuracy) {
  return std::sqrt(seen + share * share * misses + (1 - share) * (1 - share) * false_finds) /
         discrimination(accuracy);
}

struct Moments {
  double mean = 0, variance = 0;  // population variance: divided by n
};

template <typename Values>
Moments moments(const Values& values) {
  Moments of;
  const double n = static_cast<double>(values.size());
  for (const double value : values) of.mean += value / n;
  for (const double value : values) of.variance += (value - of.mean) * (value - of.mean) / n;
  return of;
}

// What the checked cells say once `trust` times the counter's reading is taken off.
Moments residual(std::span<const CheckedCell> checked, double trust) {
  std::vector<double> rest;
  rest.reserve(checked.size());
  for (const CheckedCell& cell : checked) rest.push_back(cell.truth - trust * cell.counted);
  return moments(rest);
}

CorrectedMean corrected_mean(std::span<const CheckedCell> checked, std::span<const double> unchecked,
                             double trust, double quantile) {
  require(checked.size() >= 2, "number of checked cells", checked.size(), "≥ 2");
  const Moments rest = residual(checked, trust), counted = moments(unchecked);
  CorrectedMean result;
  result.trust = trust;
  double variance = rest.variance / static_cast<double>(checked.size());
  if (!unchecked.empty())
    variance += trust * trust * counted.variance / static_cast<double>(unchecked.size());
  result.standard_error = std::sqrt(variance);
  const double mean = rest.mean + trust * counted.mean;
  const double reach = quantile * result.standard_error;
  result.mean = {mean, mean - reach, mean + reach, "prediction-powered mean"};
  return result;
}

// λ = cov(truth, counted) / ((1 + n / N) var counted), both over the checked cells; none where the counter
// said the same of all, or the contrary of what is true. Rounding leaves a variance of some 1e-32.
double earned_trust(std::span<const CheckedCell> checked, std::span<const double> unchecked) {
  if (unchecked.empty() || checked.empty()) return 0;
  const double n = static_cast<double>(checked.size());
  std::vector<double> truth, counted, sum;
  for (const CheckedCell& cell : checked) {
    truth.push_back(cell.truth);
    counted.push_back(cell.counted);
    sum.push_back(cell.truth + cell.counted);
  }
  const double spread = moments(counted).variance;
  const double shared = (moments(sum).variance - moments(truth).variance - spread) / 2;
  if (spread < 1e-12) return 0;
  return std::max(0.0, shared / ((1 + n / static_cast<double>(unchecked.size())) * spread));
}

}  // namespace

Interval corrected(Interval seen, CounterAccuracy accuracy) {
  return {clip(unclipped(seen.low, accuracy)), clip(unclipped(seen.high, accuracy))};
}

Estimate rogan_gladen(Share seen, CounterAccuracy accuracy, double confidence) {
  check_share(seen);
  const double apparent = seen.count / seen.n;
  const double share = unclipped(apparent, accuracy);
  const double error = std::sqrt(share_variance(apparent, seen.n)) / discrimination(accuracy);
  const double reach = normal_quantile_two_sided(confidence) * error;
  return {clip(share), clip(share - reach), clip(share + reach), "Rogan-Gladen"};
}

Estimate rogan_gladen_estimated(Share seen, const AccuracyTrial& trial, double confidence) {
  check_share(seen);
  check_share({trial.detected, trial.present});
  check_share({trial.cleared, trial.absent});
  const CounterAccuracy accuracy{trial.detected / trial.present, trial.cleared / trial.absent};
  const double share = unclipped(seen.count / seen.n, accuracy);
  const double misses = share_variance(accuracy.sensitivity, trial.present);
  const double false_finds = share_variance(accuracy.specificity, trial.absent);
  const double error =
      corrected_error(share, share_variance(seen.count / seen.n, seen.n), misses, false_finds, accuracy);
  const double reach = normal_quantile_two_sided(confidence) * error;
  return {clip(share), clip(share - reach), clip(share + reach), "Rogan-Gladen, estimated accuracy"};
}

Estimate lang_reiczigel(Share seen, const AccuracyTrial& trial, double confidence) {
  check_share(seen);
  check_share({trial.detected, trial.present});
  check_share({trial.cleared, trial.absent});
  const double z = normal_quantile_two_sided(confidence);
  const CounterAccuracy accuracy = smoothed(trial);
  const double size = seen.n + z * z;
  const double apparent = (seen.count + z * z / 2) / size;
  const double share = unclipped(apparent, accuracy);
  const double misses = share_variance(accuracy.sensitivity, trial.present + 2);
  const double false_finds = share_variance(accuracy.specificity, trial.absent + 2);
  const double error = corrected_error(share, share_variance(apparent, size), misses, false_finds, accuracy);
  const double shift = 2 * z * z * (share * misses - (1 - share) * false_finds);
  const CounterAccuracy plain{trial.detected / trial.present, trial.cleared / trial.absent};
  return {clip(unclipped(seen.count / seen.n, plain)), clip(share + shift - z * error),
          clip(share + shift + z * error), "Lang-Reiczigel"};
}

TenenbeinFit tenenbein(const DoubleSample& cells, double confidence) {
  for (const double count : {cells.both, cells.only_truth, cells.only_counter, cells.neither})
    require(count >= 0, "number of checked cells", count, "≥ 0");
  require(cells.unchecked_yes >= 0 && cells.unchecked_yes <= cells.unchecked, "unchecked cells called yes",
          cells.unchecked_yes, "between 0 and all unchecked");
  const double yes = cells.both + cells.only_counter, no = cells.neither + cells.only_truth;
  require(yes > 0, "checked cells that the counter called yes", yes, "> 0");
  require(no > 0, "checked cells that the counter called no", no, "> 0");
  const double checked = yes + no, all = checked + cells.unchecked;
  const double called = (cells.unchecked_yes + yes) / all;
  const double true_yes = called * cells.both / yes, missed_yes = (1 - called) * cells.only_truth / no;
  const double share = true_yes + missed_yes;
  TenenbeinFit fit;
  if (share > 0) fit.false_negative = missed_yes / share;
  if (share < 1) fit.false_positive = (called - true_yes) / (1 - share);
  const double gain = 1 - fit.false_negative - fit.false_positive, width = share * (1 - share);
  fit.reliability = width * gain * gain / (called * (1 - called));
  fit.standard_error = std::sqrt(width * ((1 - fit.reliability) / checked + fit.reliability / all));
  const double reach = normal_quantile_two_sided(confidence) * fit.standard_error;
  fit.share = {share, clip(share - reach), clip(share + reach), "Tenenbein's double sample"};
  return fit;
}

CorrectedMean prediction_powered_mean(std::span<const CheckedCell> checked, std::span<const double> unchecked,
                                      double confidence) {
  require(!unchecked.empty(), "number of unchecked cells", unchecked.size(), "> 0");
  return corrected_mean(checked, unchecked, 1, normal_quantile_two_sided(confidence));
}

CorrectedMean power_tuned_mean(std::span<const CheckedCell> checked, std::span<const double> unchecked,
                               double confidence) {
  require(checked.size() >= 2, "number of checked cells", checked.size(), "≥ 2");
  const double quantile = t_quantile(static_cast<double>(checked.size()) - 1, confidence);
  CorrectedMean result = corrected_mean(checked, unchecked, earned_trust(checked, unchecked), quantile);
  result.mean.method = "power-tuned prediction-powered mean";
  return result;
}

}  // namespace braird
