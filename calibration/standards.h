// SPDX-License-Identifier: Apache-2.0
// What do the seed-testing rules say to these counts?
//
// Tables of published rules, for orientation only: seed law and licensed laboratories decide, not this tool,
// and rules are amended (kStandardsCaution says so to the reader). A home test in compost is no laboratory
// test.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace braird {

inline constexpr std::string_view kStandardsCaution =
    "For orientation only: seed law and licensed laboratories decide, not this tool.";

/// By how many percentage points may the highest and the lowest of 2 or 4 replicates of 100 seeds differ by
/// chance? `mean_percent` is the mean of the replicates, rounded to a whole number, 1..99; nothing where the
/// table has no entry (two replicates at 98 and above). 7 CFR 201.55 (2015); based on Miles 1963, Proc Int
/// Seed Test Assoc 28:525-686. Throws std::invalid_argument for other numbers of replicates or means outside
/// 0..100.
std::optional<int> replicate_tolerance(int mean_percent, int replicates);

struct ReplicateVerdict {
  int mean_percent = 0;  ///< rounded, .5 upward
  int range = 0;         ///< highest minus lowest
  std::optional<int> tolerance;
  bool acceptable = true;
  std::string sentence;
};

/// Do these replicates of 100 seeds agree, or should the test be repeated? Throws std::invalid_argument
/// unless there are 2 or 4 counts, each 0..100.
ReplicateVerdict judge_replicates(std::span<const int> germinated_of_100);

/// Which pair of tests is compared?
enum class TestPair {
  different_labs,  ///< AOSA and seed laws, as in Louisiana Admin. Code 7:XIII.139; allows for differing
                   ///< laboratories
  same_lab,        ///< ISTA Rules, Table 5C, at 2.5 % (from memory)
  label            ///< 7 CFR 201.63: a test against the label's claim, 400 seeds or more
};

/// By how many points may two tests of 400 seeds differ? `mean_percent` is their mean (for `label`: the
/// labelled value), 0..100; `label` as the rule states it. With `different_labs` two points more are allowed
/// where only 200 seeds were tested (7 CFR 201.54). Throws std::invalid_argument outside the range.
int two_test_tolerance(int mean_percent, TestPair pair, int seeds = 400);

}  // namespace braird
