// SPDX-License-Identifier: Apache-2.0
#include "calibration/tray_options.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>
#include <stdexcept>

using namespace braird;

namespace {

OptionTerms terms_for(SeenTray tray, int need) {
  OptionTerms terms;
  terms.trays = {std::move(tray)};
  terms.need = need;
  terms.need_told = true;
  terms.batch.economy = built_in_economy();
  terms.new_seeds = 2;
  return terms;
}

TrayOptions options_for(const OptionTerms& terms, std::vector<Timing> timings = {}) {
  return tray_options(believe({terms.trays, terms.day, std::move(timings), {}, {}}), terms);
}

const TrayOption* find(const TrayOptions& stand, OptionKind kind) {
  const auto at = std::ranges::find(stand.options, kind, &TrayOption::kind);
  return at == stand.options.end() ? nullptr : &*at;
}

}  // namespace

TEST_CASE("a full tray is left as it is") {
  const TrayOptions stand = options_for(terms_for({1, {4, 124}}, 120));
  CHECK(stand.options.front().kind == OptionKind::accept);
  CHECK(stand.options.front().chance == doctest::Approx(1));
  CHECK(stand.options.front().cost == 0);
  CHECK(find(stand, OptionKind::fill) == nullptr);
}

TEST_CASE("spare plants are counted: how many there are, how many gaps they fill, how many stay") {
  // 100 cells: 20 empty, 50 single, 25 twins, 5 with three: 25 + 10 to spare
  OptionTerms told = terms_for({2, {20, 50, 25, 5}}, 92);
  told.day = 10;
  const TrayOptions stand = options_for(told);
  CHECK(stand.full == 80);
  CHECK(stand.spare == 35);
  CHECK(stand.fillable == 20);
  REQUIRE(find(stand, OptionKind::fill));
  const TrayOption& fill = *find(stand, OptionKind::fill);
  CHECK(fill.full_cells == doctest::Approx(80 + .9 * fill.cells));
  CHECK(fill.chance >= .95);
  CHECK(fill.minutes == doctest::Approx(.6 * fill.cells));
  CHECK(stand.options.front().kind == OptionKind::fill);
  // Where three plants are wanted a cell, a gap takes three.
  OptionTerms clumps = terms_for({4, {10, 0, 0, 70, 20}}, 90);
  clumps.batch.wanted = {3, 5};
  CHECK(options_for(clumps).fillable == 6);
}

TEST_CASE("a better earlier sowing promises no plants that this one doesn't show to be on their way") {
  const auto timings = timings_of(*find_crop(built_in_profiles(), "kale"), {});
  OptionTerms terms = terms_for({1, {58, 158}}, 195);
  for (const double day : {10., 12., 16.}) {
    terms.day = day;
    const Belief alone = believe({terms.trays, day, timings, {}, {}});
    const double to_come = 216 * alone.germination.estimate * (1 - share_up(courses_of(alone), day));
    const TrayOptions stand = tray_options(believe({terms.trays, day, timings, {{205, 216, 1}}, {}}), terms);
    REQUIRE(find(stand, OptionKind::accept));
    CHECK(find(stand, OptionKind::accept)->full_cells < 158 + 1.4 * to_come);
  }
}

TEST_CASE("a large bed gets as many fresh trays as it takes: waiting for them is no gain") {
  OptionTerms terms = terms_for({2, {24, 40, 40}}, 8000);
  terms.day = 11;
  terms.look_again_on = 14;
  terms.batch.cells_per_tray = 104;
  const TrayOptions stand = options_for(terms, timings_around(7, .15));
  CHECK(stand.options.front().kind == OptionKind::fresh_tray);
  CHECK(stand.options.front().trays > 80);
  CHECK(stand.options.front().chance >= .95);
}

TEST_CASE("by hand: filling is worth it while it costs less than the missing cells bring") {
  OptionTerms terms = terms_for({1, {20, 70, 10}}, 90);
  terms.batch.economy.moved_plants_live = 1;
  terms.batch.economy.full_cell_worth = .19;  // a move costs 0.6 · 18 / 60 = 0.18
  CHECK(options_for(terms).options.front().kind != OptionKind::accept);
  terms.batch.economy.full_cell_worth = .05;
  CHECK(options_for(terms).options.front().kind == OptionKind::accept);
}

TEST_CASE("cells resown too late for the planting date bring nothing, and say so") {
  OptionTerms terms = terms_for({1, {40, 88}}, 120);
  terms.day = 10;
  terms.days_to_planting = 20;
  const TrayOptions late = options_for(terms);
  CHECK_FALSE(find(late, OptionKind::resow_gaps)->in_time);
  CHECK(find(late, OptionKind::resow_gaps)->chance == find(late, OptionKind::accept)->chance);
  CHECK(find(late, OptionKind::resow_gaps)->lag_days == 10);
  terms.days_to_planting = 30;
  const TrayOptions timely = options_for(terms);
  CHECK(timely.options.front().kind == OptionKind::resow_gaps);
  CHECK(timely.options.front().chance > .9);
}

TEST_CASE("half of the seedlings are up: waiting comes first, and says how many come") {
  OptionTerms terms = terms_for({1, {64, 64}}, 100);
  terms.day = 6;
  terms.look_again_on = 10;
  const TrayOptions stand = options_for(terms, timings_around(6, .15));
  REQUIRE(stand.waiting);
  CHECK(stand.waiting->to_come > 20);
  CHECK(stand.waiting->at_least < stand.waiting->to_come);
  CHECK(stand.waiting->sure >= .8);
  CHECK(stand.options.front().kind == OptionKind::wait);
  terms.days_to_planting = 0;
  CHECK_FALSE(options_for(terms, timings_around(6, .15)).waiting);
}

TEST_CASE(
    "after a wait only gaps can be closed: a bed that wants more cells than the trays have gets a fresh "
    "one") {
  OptionTerms terms = terms_for({1, {18, 82}}, 120);
  terms.day = 8;
  terms.look_again_on = 10;
  const TrayOptions stand = options_for(terms, timings_around(6, .15));
  REQUIRE(find(stand, OptionKind::wait));
  CHECK(stand.options.front().kind == OptionKind::fresh_tray);
  // The 20 cells beyond the trays are lost at least, if no tray is to be had.
  terms.batch.economy.tray_price = 1000;
  const TrayOptions dear = options_for(terms, timings_around(6, .15));
  CHECK(find(dear, OptionKind::wait)->cost >= 20 * terms.batch.economy.full_cell_worth);
  // Where the gaps are all that is wanted, waiting costs less than losing them.
  terms.need = 98;
  const TrayOptions within = options_for(terms, timings_around(6, .15));
  const TrayOption& wait = *find(within, OptionKind::wait);
  CHECK(wait.cost < wait.missing * terms.batch.economy.full_cell_worth);
}

TEST_CASE("identities: costs rise down the list, chances lie in 0..1, more is never less likely") {
  for (const int gaps : {0, 5, 20, 60, 120}) {
    OptionTerms terms = terms_for({2, {double(gaps), 128. - gaps, 0}}, 110);
    terms.day = 12;
    const TrayOptions stand = options_for(terms);
    for (std::size_t at = 0; at < stand.options.size(); ++at) {
      CHECK(stand.options[at].chance >= 0);
      CHECK(stand.options[at].chance <= 1);
      CHECK(stand.options[at].chance >= find(stand, OptionKind::accept)->chance - 1e-9);
      if (at > 0) CHECK(stand.options[at].cost >= stand.options[at - 1].cost);
    }
  }
}

TEST_CASE("the counter's doubt keeps a photo's count from being certain") {
  OptionTerms terms = terms_for({1, {28, 100}}, 100);
  CHECK(find(options_for(terms), OptionKind::accept)->chance == doctest::Approx(1));
  terms.count_variance = 16;
  CHECK(find(options_for(terms), OptionKind::accept)->chance < .7);
}

TEST_CASE("what would change the choice is told, and is true") {
  OptionTerms terms = terms_for({1, {20, 70, 10}}, 90);
  terms.batch.economy.full_cell_worth = .3;
  const Belief belief = believe({terms.trays, {}, {}, {}, {}});
  const auto changes = what_would_change(belief, terms);
  REQUIRE(!changes.empty());
  for (const std::string& change : changes) {
    CHECK(change.starts_with("If "));
    CHECK(change.ends_with("."));
  }
  CHECK_THROWS_AS(tray_options(belief, terms_for({1, {}}, 10)), std::invalid_argument);
}

TEST_CASE("a tenth more than the largest need is still a need") {
  OptionTerms terms = terms_for({1, {20, 70, 10}}, 1);
  const Belief belief = believe({terms.trays, {}, {}, {}, {}});
  for (const int need : {1, 195225787, std::numeric_limits<int>::max()}) {
    terms.need = need;
    CHECK_NOTHROW(what_would_change(belief, terms));
  }
}
