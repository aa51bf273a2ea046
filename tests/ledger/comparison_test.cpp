// SPDX-License-Identifier: Apache-2.0
// Photos whose plants don't tell which tray they show: a comparison with earlier photos is asked.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <map>

#include "calibration/ledger/history.h"
#include "calibration/ledger/keep.h"
#include "tests/ledger/made_trays.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

namespace {

const Layout kLayout{8, 16, LatticeKind::square};

Tray bare() {
  return sure_tray(kLayout, 0);
}

Tray with_plants(std::initializer_list<std::size_t> cells) {
  Tray tray = bare();
  for (const std::size_t at : cells) tray.cells[at].count = 1, tray.cells[at].probability = {0, 1};
  return tray;
}

/// A ledger, and a comparison that says of each earlier photo what `says` has for it, and nothing of others.
struct Asking {
  LedgerFolder folder;
  Ledger ledger{folder.file(), Access::write};
  std::map<std::string, MoreEvidence> says;
  std::vector<std::string> asked;
  Comparison compare = [this](const KeptCensus& earlier, const Tray&) {
    asked.push_back(earlier.file);
    const auto said = says.find(earlier.file);
    return said == says.end() ? std::nullopt : std::optional(said->second);
  };

  KeptAs keep_tray(const std::string& name, const Tray& tray, const Comparison& with = {},
                   const std::optional<std::string>& tag = {}) {
    const Told told{"Rowan 12", "2026-04-02", tag, false, with};
    return keep(ledger, hash_of(name), census_of({tray}, name), told).trays[0];
  }
  Tray kept(const std::string& name) const { return find_census(ledger, name).census.tray; }
};

}  // namespace

TEST_CASE("bare trays are joined as a comparison says, and the cells numbered as in the first photo") {
  const Tray later = with_plants({5});
  for (const bool turned : {false, true}) {
    CAPTURE(turned);
    Asking asking;
    asking.says["a.jpg"] = turned ? MoreEvidence{0, 30} : MoreEvidence{30, 0};
    asking.keep_tray("a.jpg", bare());
    const KeptAs kept = asking.keep_tray("b.jpg", later, asking.compare);
    CHECK(kept.photos_of_tray == 2);
    CHECK(kept.turned == turned);
    CHECK(asking.kept("b.jpg").cells[turned ? 128 - 1 - 5 : 5].count == 1);
  }
}

TEST_CASE("bare trays stay two where no comparison is at hand, or it can't tell, or tells too little") {
  Asking asking;
  asking.keep_tray("a.jpg", bare());
  CHECK(asking.keep_tray("b.jpg", bare()).photos_of_tray == 1);
  CHECK(asking.keep_tray("c.jpg", bare(), asking.compare).photos_of_tray == 1);
  CHECK(asking.asked == std::vector<std::string>{"a.jpg", "b.jpg"});
  asking.says["c.jpg"] = {17, 0};   // under 18
  asking.says["b.jpg"] = {30, 21};  // not 10 more than the other way round
  CHECK(asking.keep_tray("d.jpg", bare(), asking.compare).photos_of_tray == 1);
}

TEST_CASE("a comparison adds to what the plants say") {
  Asking asking;
  asking.says["a.jpg"] = {16, 0};
  asking.keep_tray("a.jpg", with_plants({10, 40, 70, 100}));
  CHECK(asking.keep_tray("b.jpg", with_plants({3, 37, 69, 104}), asking.compare).photos_of_tray == 1);
  CHECK(asking.keep_tray("c.jpg", with_plants({10, 30, 86, 115}), asking.compare).photos_of_tray == 2);
}

TEST_CASE("a tagged tray whose plants don't tell is refused, but placed where a comparison tells") {
  Asking asking;
  asking.says["a.jpg"] = {0, 7};  // enough, since which tray it is is known
  asking.keep_tray("a.jpg", bare(), {}, "K7");
  CHECK_THROWS_WITH_AS(asking.keep_tray("b.jpg", bare(), {}, "K7"),
                       doctest::Contains("neither plants nor medium of this photo and of a.jpg tell"),
                       std::invalid_argument);
  CHECK(asking.keep_tray("b.jpg", bare(), asking.compare, "K7").turned);
  asking.says["b.jpg"] = {5, 0};
  CHECK_THROWS_AS(asking.keep_tray("c.jpg", bare(), asking.compare, "K7"), std::invalid_argument);
}

TEST_CASE("no comparison is asked where the plants tell") {
  for (const auto& tag : {std::optional<std::string>{}, std::optional<std::string>("K7")}) {
    Asking asking;
    std::mt19937 random(3);
    const GrownTray tray = grown({}, random);
    asking.keep_tray("a.jpg", seen_on(tray, 7, {}, random), {}, tag);
    const KeptAs kept = asking.keep_tray("b.jpg", seen_on(tray, 8, {}, random), asking.compare, tag);
    CHECK(kept.photos_of_tray == 2);
    CHECK(asking.asked.empty());
  }
}

namespace {

/// Trays of which the first shares some plants with `kLike`, not enough to tell by; the others are bare.
struct AskingOfMany : Asking {
  AskingOfMany() {
    keep_tray("first", with_plants({10, 40, 70, 100}));
    for (int tray = 0; tray < 8; ++tray) keep_tray(fmt::format("bare-{}", tray), bare());
    for (const char* name : {"first", "bare-0", "bare-1", "bare-2", "bare-3", "bare-4"}) says[name] = {};
  }
};

const std::initializer_list<std::size_t> kLike{10, 30, 86, 115};

}  // namespace

TEST_CASE(
    "of many trays five are compared, the likeliest by their plants first, then in the order they were "
    "kept") {
  AskingOfMany asking;
  CHECK(asking.keep_tray("now", with_plants(kLike), asking.compare).photos_of_tray == 1);
  CHECK(asking.asked == std::vector<std::string>{"first", "bare-0", "bare-1", "bare-2", "bare-3"});
}

TEST_CASE("a photo that can't be compared leaves its turn to another, and the surest tray is taken") {
  AskingOfMany asking;
  asking.says.erase("bare-2");
  asking.says["bare-1"] = {30, 0}, asking.says["bare-4"] = {0, 40};
  const KeptAs kept = asking.keep_tray("now", with_plants(kLike), asking.compare);
  CHECK(kept.photos_of_tray == 2);
  CHECK(kept.turned);
  CHECK(asking.asked == std::vector<std::string>{"first", "bare-0", "bare-1", "bare-2", "bare-3", "bare-4"});
}
