// SPDX-License-Identifier: Apache-2.0
#include "calibration/profiles.h"

#include <doctest/doctest.h>

#include <set>
#include <stdexcept>

using namespace braird;

namespace {

std::string complaint_about(const std::string& trays, const std::string& crops) {
  try {
    read_profiles(R"({"format":"braird-trays","trays":[)" + trays + "]}",
                  R"({"format":"braird-crops","crops":[)" + crops + "]}");
  } catch (const std::invalid_argument& why) {
    return why.what();
  }
  return "accepted";
}

constexpr const char* kTray = R"({"name":"a","rows":2,"cols":3,"lattice":"square","pitch_mm":30})";

}  // namespace

TEST_CASE("names are found in any case, with blanks or hyphens, and by alias") {
  const Profiles& lists = built_in_profiles();
  REQUIRE(find_tray(lists, "Plug 128"));
  CHECK(find_tray(lists, "Plug 128")->layout.cols == 16);
  REQUIRE(find_crop(lists, "LEEK"));
  CHECK(find_crop(lists, "leeks") == find_crop(lists, "leek"));
  CHECK(find_tray(lists, "plug-127") == nullptr);
}

TEST_CASE("the crops that share a look are all in the list") {
  for (const std::string name : {"brassica", "onion", "tomato", "lettuce", "beet", "kale"}) {
    CAPTURE(name);
    CHECK(find_crop(built_in_profiles(), name) != nullptr);
  }
  CHECK(find_crop(built_in_profiles(), "other") == nullptr);
}

TEST_CASE("a misspelt name suggests the nearest, a strange one nothing") {
  const Profiles& lists = built_in_profiles();
  CHECK(nearest_crop(lists, "onoin") == "onion");
  CHECK(nearest_crop(lists, "letuce") == "lettuce");
  CHECK(nearest_tray(lists, "plug-182") == "plug-128");
  CHECK_FALSE(nearest_crop(lists, "xyzzy").has_value());
  CHECK_FALSE(nearest_crop(lists, "").has_value());
}

TEST_CASE("no name stands for two trays or two crops") {
  std::set<std::string> seen;
  for (const CropProfile& crop : built_in_profiles().crops) {
    CAPTURE(crop.name);
    CHECK(seen.insert(crop.name).second);
    for (const std::string& alias : crop.aliases) CHECK_MESSAGE(seen.insert(alias).second, alias);
  }
  for (const TrayProfile& tray : built_in_profiles().trays)
    CHECK_MESSAGE(seen.insert(tray.name).second, tray.name);
}

TEST_CASE("a tray's name tells its number of cells") {
  for (const TrayProfile& tray : built_in_profiles().trays) {
    CAPTURE(tray.name);
    const int cells = tray.layout.rows * tray.layout.cols;
    CHECK(tray.name.substr(tray.name.rfind('-') + 1) == std::to_string(cells));
  }
}

// Harrington JF & Minges PA 1954, Vegetable seed germination, Calif. Agr. Ext. mimeo, via Knott's Handbook
// 1997.
TEST_CASE("days to emergence follow the handbook's table") {
  const Profiles& lists = built_in_profiles();
  CHECK(days_to_emergence(*find_crop(lists, "onion"), 20) == 5);
  CHECK(days_to_emergence(*find_crop(lists, "onion"), 10) == 13);
  CHECK(days_to_emergence(*find_crop(lists, "lettuce"), 15) == 4);
  CHECK(days_to_emergence(*find_crop(lists, "tomato"), 15) == 14);
  CHECK(days_to_emergence(*find_crop(lists, "beet"), 17.5) == 8);  // half way between 10 and 6
  CHECK_FALSE(days_to_emergence(*find_crop(lists, "tomato"), 5).has_value());
  CHECK_FALSE(days_to_emergence(*find_crop(lists, "lettuce"), 41).has_value());
}

// 7 CFR 201.31 (59 FR 64491, 1994) and 7 CFR 201.58 Table 2.
TEST_CASE("minimum germination and count days follow the published rules") {
  const Profiles& lists = built_in_profiles();
  CHECK(find_crop(lists, "leek")->minimum_germination_percent == 60);
  CHECK(find_crop(lists, "lettuce")->minimum_germination_percent == 80);
  CHECK(find_crop(lists, "spinach")->minimum_germination_percent == 60);
  CHECK(find_crop(lists, "leek")->final_count_day == 14);
  CHECK(find_crop(lists, "kale")->first_count_day == 3);
}

TEST_CASE("beet and chard alone are sown as clusters (7 CFR 201.56-1), by any of their names") {
  for (const CropProfile& crop : built_in_profiles().crops) {
    CAPTURE(crop.name);
    CHECK((crop.seed == SeedKind::cluster) == (crop.name == "beet" || crop.name == "chard"));
    for (const std::string& alias : crop.aliases) CHECK(seed_kind(alias) == crop.seed);
  }
  CHECK(seed_kind("Swiss Chard") == SeedKind::cluster);
  CHECK(seed_kind(std::nullopt) == SeedKind::single);
  CHECK(seed_kind("moon melon") == SeedKind::single);
}

TEST_CASE("a fault in a list is told with the entry's name") {
  CHECK(complaint_about(kTray, "") == "accepted");
  CHECK(complaint_about(R"({"name":"a","rows":0,"cols":3,"lattice":"square","pitch_mm":30})", "") ==
        "tray \"a\": rows must be a number from 1 to 100");
  CHECK(complaint_about(R"({"name":"a","rows":2.5,"cols":3,"lattice":"square","pitch_mm":30})", "") ==
        "tray \"a\": rows must be a whole number");
  CHECK(complaint_about(R"({"name":"a","rows":2,"cols":3,"lattice":"round","pitch_mm":30})", "") ==
        "tray \"a\": lattice must be square or staggered");
  CHECK(complaint_about("7", "") == "tray number 1: name is missing or is no text");
  CHECK(complaint_about(kTray, R"({"name":"b","habit":"thread","emergence":[[20,5],[10,13]]})") ==
        "crop \"b\": emergence must be listed by rising temperature");
  CHECK(complaint_about(kTray, R"({"name":"b","habit":"thread","minimum_germination_percent":70})") ==
        "crop \"b\": minimum_source is missing or is no text");
  CHECK(complaint_about(kTray, R"({"name":"b","habit":"furry"})") ==
        "crop \"b\": habit must be round_pair, strap_pair, thread or unknown");
  CHECK(complaint_about(kTray, R"({"name":"b","habit":"thread","seed":"pill"})") ==
        "crop \"b\": seed must be cluster, or be left out");
  CHECK(complaint_about(kTray, R"({"name":"b","habit":"thread","seed":"cluster"})") == "accepted");
  CHECK_THROWS_AS(read_profiles("{", "{}"), std::invalid_argument);
}
