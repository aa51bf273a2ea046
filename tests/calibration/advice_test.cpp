// SPDX-License-Identifier: Apache-2.0
#include "calibration/advice.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "tests/calibration/trays.h"

using namespace braird;
using test::tray_with;

namespace {

const CropProfile* crop(const char* name) {
  return find_crop(built_in_profiles(), name);
}

Action action_for(const Tray& tray, const char* crop_name, std::optional<int> age) {
  return advise(weigh(tray, crop(crop_name), age)).action;
}

}  // namespace

TEST_CASE("a full tray is kept") {
  CHECK(action_for(tray_with(2, 1, 1), "kale", 8) == Action::accept);
  CHECK(action_for(tray_with(2, 1, 1), "kale", std::nullopt) == Action::accept);
  CHECK(advise(weigh(tray_with(2, 1, 1), nullptr, std::nullopt)).action == Action::accept);
}

TEST_CASE("gaps are filled from a tenth of the cells on, and the tray resown from two fifths on") {
  CHECK(action_for(tray_with(10, 1, 1), "kale", 10) == Action::accept);
  CHECK(action_for(tray_with(11, 1, 1), "kale", 10) == Action::fill);
  CHECK(advise(weigh(tray_with(41, 1, 1), nullptr, 10)).action == Action::resow);
}

TEST_CASE("gaps wait until the crop is up as far as it will come") {
  // 7 CFR 201.58: final count of onion on day 10, of pepper on day 14. Harrington & Minges 1954: pepper takes
  // 25 days at 15 °C.
  CHECK(action_for(tray_with(20, 1, 1), "onion", 9) == Action::wait);
  CHECK(action_for(tray_with(20, 1, 1), "onion", 10) == Action::fill);
  CHECK(action_for(tray_with(60, 1, 1), "pepper", 24) == Action::wait);
  CHECK(action_for(tray_with(60, 1, 1), "pepper", 25) == Action::fill_and_test_lot);
  CHECK(action_for(tray_with(2, 1, 1), "onion", 5) == Action::accept);
}

TEST_CASE("where seeds lie in view and nothing is up, the tray is given time") {
  Tray tray = tray_with(100, 1, 1);
  CHECK(action_for(tray, "kale", std::nullopt) != Action::wait);
  tray.seeds_in_view = 0.92;
  CHECK(action_for(tray, "kale", std::nullopt) == Action::wait);
  CHECK(advise(weigh(tray, nullptr, 3)).why ==
        "Nothing has come up, but seeds lie in view in 92 of 100 cells in the middle.");
  CHECK(action_for(tray, "kale", 40) != Action::wait);
  CHECK_FALSE(weigh(tray, nullptr, 3).explanation);  // of gaps, that is; one seedling is enough to have one
  CHECK(weigh(tray_with(99, 1, 1), nullptr, 3).explanation);
}

TEST_CASE("without crop and day, advice to fill or resow says what was not weighed") {
  const auto advice = [](int empty, const char* name, std::optional<int> age) {
    return advise(weigh(tray_with(empty, 1, 1), name ? crop(name) : nullptr, age));
  };
  CHECK(advice(60, nullptr, 10).what == "Resow the tray, unless more may still come up.");
  CHECK(advice(60, nullptr, 10).why.ends_with("can't be weighed without the crop."));
  CHECK(advice(60, "rhubarb", 10).why.ends_with("can't be weighed without the days that rhubarb takes."));
  CHECK(advice(60, nullptr, std::nullopt).why.ends_with("without the crop and the day of sowing."));
  CHECK(advice(20, "onion", std::nullopt).why.ends_with("without the day of sowing."));
  Evidence sown = weigh(tray_with(20, 1, 1), crop("onion"), std::nullopt);
  sown.untold_day = "the day of the photo (--taken)";
  CHECK(advise(sown).why.ends_with("can't be weighed without the day of the photo (--taken)."));
  CHECK(advice(60, "spinach", 40).what.find("unless") == std::string::npos);
  CHECK(advice(20, "onion", 30).why.find("weighed") == std::string::npos);
  CHECK(advice(2, nullptr, std::nullopt).why.find("weighed") == std::string::npos);  // nothing is done
}

TEST_CASE("a lot is suspect only when the whole interval lies below the legal minimum") {
  // 7 CFR 201.31: lettuce 80 %. 65 of 100: Wilson's upper limit is 73.6 %; 75 of 100: 82.5 %.
  CHECK(action_for(tray_with(35, 1, 1), "lettuce", 8) == Action::fill_and_test_lot);
  CHECK(action_for(tray_with(25, 1, 1), "lettuce", 8) == Action::fill);
}

TEST_CASE("more gaps than the germination explains send one to the sower") {
  const Evidence evidence = weigh(tray_with(8, 4, 4), crop("leek"), 15);
  const Advice advice = advise(evidence);
  CHECK(advice.action == Action::fill);
  CHECK(advice.what.find("sower") != std::string::npos);
}

TEST_CASE("gaps that the germination doesn't explain wait too, while more may come up") {
  CHECK(action_for(tray_with(8, 4, 4), "leek", 6) == Action::wait);
  CHECK(action_for(tray_with(8, 4, 4), "leek", 30) == Action::fill);
}

TEST_CASE("where the seeds of a cell fail together, the plate is not blamed") {
  Evidence evidence = weigh(tray_with(8, 4, 4), crop("leek"), 30);
  for (const GapCause cause : {GapCause::missed_cells, GapCause::cannot_tell}) {
    evidence.explanation->cause = cause;
    CHECK(advise(evidence).what.find("plate") != std::string::npos);
  }
  evidence.explanation->cause = GapCause::shared_fate;
  CHECK(advise(evidence).what ==
        "Fill the gaps, and look where they lie: check the depth and the watering there.");
}

TEST_CASE("figures that rounding would make equal to their limit get a digit more") {
  // 10 of 105 cells: 9.52 %
  Tray tray = tray_with(10, 1, 1);
  for (int at = 0; at < 5; ++at) tray.cells.push_back(tray.cells.back());
  CHECK(advise(weigh(tray, crop("kale"), 20)).why ==
        "10 of 105 cells stayed empty (9.5 %); filling is worth the work above 10 %.");
  Evidence poor = weigh(tray_with(35, 1, 1), crop("lettuce"), 20);
  poor.germination->high = .7999;
  CHECK(advise(poor).why.starts_with("Even the top of the interval, 79.99 %, is below 80 %"));
}

TEST_CASE("of corrected gaps the number and the share belong together") {
  Evidence evidence = weigh(tray_with(20, 1, 1), crop("onion"), 30);
  CHECK(advise(evidence).why == "20 of 100 cells stayed empty (20 %).");
  evidence.gaps.estimate = .284;
  CHECK(advise(evidence).why == "About 28 of 100 cells stayed empty (28 %).");
}

TEST_CASE("doubtful counts send one to the picture first") {
  Tray misplaced = tray_with(2, 1, 1), unclear = misplaced;
  misplaced.fit = 0.5;
  for (int i = 0; i < 21; ++i) unclear.cells[static_cast<std::size_t>(i)].review = true;
  CHECK(action_for(misplaced, "kale", 8) == Action::look_at_picture);
  CHECK(action_for(unclear, "kale", 8) == Action::look_at_picture);
}

TEST_CASE("every advice is a sentence with its reason") {
  for (int gaps : {0, 5, 15, 35, 60})
    for (int age : {2, 8, 30}) {
      const Advice advice = advise(weigh(tray_with(gaps, 1, 1), crop("lettuce"), age));
      CAPTURE(advice.what);
      CHECK(advice.what.ends_with('.'));
      CHECK(advice.why.ends_with('.'));
    }
}
