// SPDX-License-Identifier: Apache-2.0
#include "calibration/patience.h"

#include <doctest/doctest.h>

#include "calibration/advice.h"
#include "calibration/census_lots.h"
#include "calibration/timing.h"
#include "tests/calibration/trays.h"

using namespace braird;

namespace {

const CropProfile& crop_named(const std::string& name) {
  return *find_crop(built_in_profiles(), name);
}

Lot one_tray(int up, int cells, double day) {
  Lot lot;
  lot.trays.push_back({"tray", {1, cells, LatticeKind::square}, {}});
  for (int cell = 0; cell < cells; ++cell) lot.trays[0].cells.push_back({cell < up, 1});
  lot.readings.push_back(cell_readings(lot.trays[0].cells));
  lot.last_day = day;
  return lot;
}

}  // namespace

TEST_CASE(
    "published days to emergence, a week after sowing (Harrington & Minges 1954, via Knott's Handbook "
    "1997)") {
  // Onion: 13 days at 10 °C, 7 at 15 °C, 5 at 20 °C. Celery: 12 days at 15 °C. Lettuce: 3 days at 20 °C.
  const auto up = [](const char* crop, double soil_c) {
    return share_up(timings_of(crop_named(crop), soil_c), 7);
  };
  CHECK(up("onion", 10) < .1);
  CHECK(up("onion", 15) == doctest::Approx(.5).epsilon(.02));
  CHECK(up("onion", 20) > .9);
  CHECK(up("celery", 15) < .1);
  CHECK(up("lettuce", 20) > .99);
}

TEST_CASE("it is too early until the day that advice waits for, whatever the bench's temperature") {
  const CropProfile& kale = crop_named("kale");
  for (const std::optional<double> celsius : {std::optional<double>(), {12.}, {15.}, {22.}}) {
    const auto early = patience_with(one_tray(105, 128, 7.4), kale, celsius);
    REQUIRE(early);
    CHECK(early->too_early);
    CHECK(early->judge_on == telling_day(kale));
    CHECK(early->up_by_now > .8);  // as many are up already
    CHECK_FALSE(patience_with(one_tray(105, 128, telling_day(kale)), kale, celsius)->too_early);
  }
  CHECK(patience_with(one_tray(105, 128, 7.4), kale, 15)->sentence ==
        "Too early to judge: this is day 7 after sowing, and kale may come up until about day 10; look again "
        "then.");
  CHECK(patience_with(one_tray(105, 128, 10), kale, 20)->sentence ==
        "On day 10 after sowing nearly all that will come is up.");
}

TEST_CASE("on a cold bench it stays too early while nearly nothing is up") {
  const auto cold = patience_with(one_tray(0, 128, 11), crop_named("kale"), 10);
  REQUIRE(cold);
  CHECK(cold->too_early);
  CHECK(cold->up_by_now < .5);
  CHECK(cold->judge_on > 15);
}

TEST_CASE("daily counts without trays are judged by the same day") {
  Lot lot;
  lot.course = Inspections{100, {5, 6, 7}, {10, 50, 60}};
  lot.last_day = 7;
  CHECK(patience_with(lot, crop_named("kale"), {})->judge_on == 10);
  CHECK(patience_with(lot, crop_named("kale"), {})->too_early);
}

TEST_CASE("it is too early while one tray of the latest sowing was last seen young") {
  std::vector<Census> censuses;
  const auto add = [&](const char* tag, const char* sown_on, const char* taken) {
    Tray tray = test::tray_with(10, 1, 1);
    tray.sown_on = sown_on;
    tray.label = TrayLabel{tag, {}, {}, {}, {}, {}};
    censuses.push_back({{tag, 2400, 1800, taken}, {tray}, {}});
  };
  add("K1", "2026-03-02", "2026-03-05T12:00:00");  // of another sowing
  add("K2", "2026-03-19", "2026-03-31T12:00:00");
  CHECK_FALSE(patience_with(lots_of(censuses, {}).at(0), crop_named("kale"), {})->too_early);
  add("K3", "2026-03-19", "2026-03-24T12:00:00");
  const Lot lot = lots_of(censuses, {}).at(0);
  CHECK(lot.trays.size() == 3);
  CHECK(lot.last_day == 5.5);
  CHECK(patience_with(lot, crop_named("kale"), {})->too_early);
}

TEST_CASE("property: what looked too early never turns early again") {
  bool early = true;
  for (int day = 1; day <= 40; ++day) {
    const auto now = patience_with(one_tray(50, 72, day), crop_named("leek"), 15);
    REQUIRE(now);
    CHECK((early || !now->too_early));
    early = now->too_early;
  }
  CHECK_FALSE(early);
}

TEST_CASE("without a day nothing is said of patience") {
  Lot lot = one_tray(50, 72, 3);
  lot.last_day.reset();
  CHECK_FALSE(patience_with(lot, crop_named("leek"), 15));
}
