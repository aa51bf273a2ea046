// SPDX-License-Identifier: Apache-2.0
// How often do the default intervals hold the truth? A simulation with a fixed seed, printed as Markdown; its
// output is kept in coverage.md. Run it after changing an interval:  calibration_coverage >
// tests/calibration/coverage.md  With the argument "each", every setting outside 0.94 … 0.97 is named too.
//
// Each setting is drawn many times. Counts are whole, so at one exact rate coverage jumps about from setting
// to setting (Brown, Cai & DasGupta 2001); "around p" therefore draws the true rate anew each time, within
// ±0.5 on the logit scale.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <future>
#include <map>
#include <random>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include "calibration/counter_doubt.h"
#include "coverage_trials.h"

namespace braird::test {

bool name_each = false;

namespace {

constexpr int kRuns = 4000;
constexpr int kDefaultRuns = 20000;  // of what is promised: extremes of 312 settings are no noise then

double near(double p, Random& random) {
  const double logit = std::log(p / (1 - p)) + std::uniform_real_distribution<>(-.5, .5)(random);
  return 1 / (1 + std::exp(-logit));
}

enum class Rate { at, around };

struct Question {
  Trial trial;
  Rate rate = Rate::around;
  int runs = kRuns;
};

double coverage(const Setting& setting, const Question& question, Random& random) {
  int holds = 0;
  for (int run = 0; run < question.runs; ++run)
    holds += question.trial(setting, question.rate == Rate::at ? setting.p : near(setting.p, random), random);
  return static_cast<double>(holds) / question.runs;
}

bool inside(double value) {
  return value >= .94 && value <= .97;
}

struct Summary {
  double low = 1, high = 0, sum = 0;
  int settings = 0, settings_inside = 0;

  void add(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
    sum += value;
    ++settings;
    settings_inside += inside(value);
  }

  // Rounded, but 100 only if all are.
  double percent_inside() const {
    const double percent = std::round(100. * settings_inside / settings);
    return settings_inside < settings ? std::min(percent, 99.) : percent;
  }
};

// Of all settings, on all cores; each has its own dice, so that the figures don't depend on the cores.
std::vector<double> coverages(const std::vector<Setting>& all, const Question& question) {
  std::vector<double> found(all.size());
  const std::size_t cores = std::max(1U, std::thread::hardware_concurrency());
  std::vector<std::future<void>> jobs;
  for (std::size_t core = 0; core < cores; ++core)
    jobs.push_back(std::async(std::launch::async, [&, core] {
      for (std::size_t at = core; at < all.size(); at += cores) {
        Random random(20260319 + at);
        found[at] = coverage(all[at], question, random);
      }
    }));
  for (auto& job : jobs) job.get();
  return found;
}

void name_outside(const std::vector<Setting>& all, const std::vector<double>& found) {
  for (std::size_t at = 0; at < all.size(); ++at)
    if (!inside(found[at]))
      std::fprintf(stderr, "  %d seeds, %d cells, p %g, rho %g: %.4f\n", all[at].seeds, all[at].cells,
                   all[at].p, all[at].rho, found[at]);
}

void print_row(const std::string& name, const std::vector<Setting>& all, const Question& question) {
  const auto found = coverages(all, question);
  Summary summary;
  for (const double value : found) summary.add(value);
  std::printf("| %s | %s | %d | %.3f | %.3f | %.3f | %.0f %% |\n", name.c_str(),
              question.rate == Rate::at ? "at p" : "around p", summary.settings, summary.low,
              summary.sum / summary.settings, summary.high, summary.percent_inside());
  std::fflush(stdout);
  if (name_each) name_outside(all, found);
}

void print_by_size(const std::vector<Setting>& all) {
  std::map<std::pair<int, int>, Summary> by_size;
  const auto found = coverages(all, {germination_holds, Rate::around, kDefaultRuns});
  for (std::size_t at = 0; at < all.size(); ++at) by_size[{all[at].seeds, all[at].cells}].add(found[at]);
  std::printf("\n| seeds a cell | 20 cells | 72 cells | 128 cells | 300 cells |\n|---|---|---|---|---|\n");
  for (const int seeds : {1, 2, 3, 4, 6}) {
    std::printf("| %d ", seeds);
    for (const int cells : {20, 72, 128, 300}) {
      const Summary& summary = by_size[{seeds, cells}];
      std::printf("| %.3f-%.3f ", summary.low, summary.high);
    }
    std::printf("|\n");
  }
}

std::vector<Setting> only(const std::vector<Setting>& all, const std::function<bool(const Setting&)>& keep) {
  std::vector<Setting> kept;
  std::ranges::copy_if(all, std::back_inserter(kept), keep);
  return kept;
}

void print_head() {
  std::printf(
      "| interval | rate | settings | lowest | mean | highest | in 0.94…0.97 "
      "|\n|---|---|---|---|---|---|---|\n");
}

void print_one_tray(const std::vector<Setting>& all) {
  const auto large = only(all, [](const Setting& s) { return s.cells >= 72; });
  const auto gappy = only(all, has_gaps);
  print_head();
  auto by_default = [](const Trial& trial) { return Question{trial, Rate::around, kDefaultRuns}; };
  print_row("**germination rate (default), hand counts**", all, by_default(germination_holds));
  print_row("germination rate (default), hand counts", all, {germination_holds, Rate::at});
  print_row("Wilson over seeds (naive)", all, {naive_holds});
  print_row("**gap rate (default), hand counts**, a gap or more expected", gappy, by_default(gaps_hold));
  print_row("**germination rate (default), photo**", all, by_default(photo_holds));
  print_row("**gap rate (default), photo**, a gap or more expected", gappy, by_default(photo_gaps_hold));
  print_row("gap rate (default), photo whose errors are of single seeds", gappy, {mild_photo_gaps_hold});
  print_row("photo's numbers taken for hand counts", all, {bare_counts_hold});
  print_row("photo, 30 cells checked, ≥ 72 cells", large, {corrected_trial(30)});
  print_row("photo, 60 cells checked, ≥ 72 cells", large, {corrected_trial(60)});
}

void print_lots(const std::vector<Setting>& all) {
  const auto trays = only(all, [](const Setting& s) { return s.cells == 72 && s.p <= .95; });
  std::printf("\nLots of several trays of 72 cells, hand counts, p 0.5…0.95:\n\n");
  print_head();
  for (const double rho : {0., .0124, .02, .05})
    for (const int many : {2, 3, 5, 8}) {
      char name[80];
      std::snprintf(name, sizeof name, "%d trays, ρ %g between them", many, rho);
      print_row(name, trays, {pooled_trial(many, rho)});
    }
}

}  // namespace

void print_coverage() {
  const auto all = settings();
  std::printf(
      "# Coverage of the 95 %% intervals\n\nSimulated by `calibration_coverage`: %d draws a setting "
      "(standard "
      "error %.4f) in bold rows and the last table, else\n%d (%.4f); fixed seed; p 0.5…0.99, 1…6 seeds, "
      "20…300 "
      "cells, ρ 0…0.15. The last column is the share of settings\nbetween 0.94 and 0.97. The simulated photo "
      "counter errs like the measured one (calibration/counter_doubt.h): it owns\nup to 0.03 to 0.3 wrong "
      "seedlings a seed, and its net error over a tray has κ = %.1f times that as its standard error,\nwith "
      "heavier tails than the normal; for gaps likewise with full and empty cells, as κ was measured for "
      "them.\n\n",
      kDefaultRuns, std::sqrt(.95 * .05 / kDefaultRuns), kRuns, std::sqrt(.95 * .05 / kRuns), kKappa);
  print_one_tray(all);
  print_lots(all);
  std::printf("\nGermination rate around p, hand counts, lowest and highest over p and ρ:\n");
  print_by_size(all);
}

}  // namespace braird::test

int main(int arguments, char** argument) {
  braird::test::name_each = arguments > 1 && std::string_view(argument[1]) == "each";
  braird::test::print_coverage();
}
