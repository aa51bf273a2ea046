// SPDX-License-Identifier: Apache-2.0
#include "calibration/census_json.h"

#include <doctest/doctest.h>

#include <functional>
#include <nlohmann/json.hpp>

using namespace braird;
using Json = nlohmann::ordered_json;

namespace {

Cell cell_with(int row, int col, int count) {
  Cell cell{row, col, {10.04 + 20 * col, 30.06 + 20 * row}, count, {0.02, 0.03, 0.05}, count == 1};
  cell.probability[static_cast<std::size_t>(count)] += 0.9;
  return cell;
}

Census small_census() {
  Tray tray;
  tray.layout = {1, 3, LatticeKind::staggered};
  tray.corners_px = {{{10, 30}, {50, 30}, {50, 30}, {10, 30}}};
  tray.pitch_px = 20.04;
  tray.fit = 0.98;
  tray.crop = "leek";
  tray.cells = {cell_with(0, 0, 0), cell_with(0, 1, 1), cell_with(0, 2, 2)};
  return {{"bench.jpg", 400, 300, "2026-03-19T09:12:44"}, {tray}, {"a remark"}};
}

std::string complaint_after(const std::function<void(Json&)>& damage) {
  Json object = to_json(small_census());
  damage(object);
  try {
    census_from_json(object);
  } catch (const std::invalid_argument& why) {
    return why.what();
  }
  return "accepted";
}

}  // namespace

TEST_CASE("a census is one line of JSON, its fields in the documented order") {
  CHECK(
      to_json(small_census()).dump() ==
      R"({"format":"braird-census","version":1,"counted":"seedlings",)"
      R"("photo":{"file":"bench.jpg","width":400,"height":300,"taken":"2026-03-19T09:12:44"},)"
      R"("trays":[{"rows":1,"cols":3,"lattice":"staggered",)"
      R"("corners_px":[[10.0,30.0],[50.0,30.0],[50.0,30.0],[10.0,30.0]],"pitch_px":20.0,"fit":0.98,)"
      R"("crop":"leek","seeds_per_cell":null,"cells":[)"
      R"({"row":0,"col":0,"x":10.0,"y":30.1,"state":"empty","count":0,"probability":[0.92,0.03,0.05],"review":false},)"
      R"({"row":0,"col":1,"x":30.0,"y":30.1,"state":"single","count":1,"probability":[0.02,0.93,0.05],"review":true},)"
      R"({"row":0,"col":2,"x":50.0,"y":30.1,"state":"multiple","count":2,"probability":[0.02,0.03,0.95],"review":false}],)"
      R"("summary":{"cells":3,"empty":1,"single":1,"multiple":1,"seedlings":3,"review":1}}],)"
      R"("remarks":["a remark"]})");
}

TEST_CASE("reading back what was written gives the same census") {
  const Json once = to_json(small_census());
  CHECK(to_json(census_from_json(once)) == once);
  Census none{{"bench.jpg", 400, 300, std::nullopt}, {}, {}};
  CHECK(to_json(census_from_json(to_json(none))) == to_json(none));
}

TEST_CASE("a census of seeds says so, and is never read as one of seedlings") {
  Census census = small_census();
  census.counted = Counted::seeds;
  Json object = to_json(census);
  CHECK(object["counted"] == "seeds");
  CHECK(object["trays"][0]["summary"]["seeds"] == 3);
  CHECK_FALSE(object["trays"][0]["summary"].contains("seedlings"));
  CHECK(to_json(census_from_json(object)) == object);
  object.erase("counted");
  CHECK_THROWS_WITH_AS(census_from_json(object), "this is no sound census: \"seedlings\" is missing",
                       std::invalid_argument);
}

TEST_CASE("a census from before seeds were counted is one of seedlings") {
  CHECK(complaint_after([](Json& census) { census.erase("counted"); }) == "accepted");
}

TEST_CASE("fields that later versions add are left alone") {
  CHECK(complaint_after([](Json& census) { census["trays"][0]["bench"] = "A7"; }) == "accepted");
}

TEST_CASE("a newer version is refused in words") {
  CHECK(complaint_after([](Json& census) { census["version"] = 2; }) ==
        "this census has version 2, newer than this braird reads (1); install a newer braird");
}

TEST_CASE("what is no census, or contradicts itself, is refused with the fault named") {
  struct Damage {
    std::string names;
    std::function<void(Json&)> make;
  };
  const Damage damages[] = {
      {"format", [](Json& c) { c["format"] = "letter"; }},
      {"format",
       [](Json& c) {
         c = Json::array({1, 2});
       }},
      {"version", [](Json& c) { c["version"] = "1"; }},
      {"beans", [](Json& c) { c["counted"] = "beans"; }},
      {"counted", [](Json& c) { c["counted"] = 3; }},
      {"photo", [](Json& c) { c.erase("photo"); }},
      {"width", [](Json& c) { c["photo"]["width"] = 1e300; }},
      {"trays", [](Json& c) { c["trays"] = 3; }},
      {"lattice", [](Json& c) { c["trays"][0]["lattice"] = "round"; }},
      {"rows", [](Json& c) { c["trays"][0]["rows"] = 2; }},
      {"rows", [](Json& c) { c["trays"][0]["rows"] = -1; }},
      {"corners_px", [](Json& c) { c["trays"][0]["corners_px"].erase(3); }},
      {"corners_px", [](Json& c) { c["trays"][0]["corners_px"][0] = 7; }},
      {"pitch_px", [](Json& c) { c["trays"][0]["pitch_px"] = 0; }},
      {"fit", [](Json& c) { c["trays"][0]["fit"] = 1.5; }},
      {"far outside", [](Json& c) { c["trays"][0]["cells"][1]["x"] = 1e300; }},
      {"far outside", [](Json& c) { c["trays"][0]["corners_px"][2][1] = -2e7; }},
      {"seeds_per_cell", [](Json& c) { c["trays"][0]["seeds_per_cell"] = 0; }},
      {"row by row", [](Json& c) { std::swap(c["trays"][0]["cells"][0], c["trays"][0]["cells"][1]); }},
      {"sum to 1", [](Json& c) { c["trays"][0]["cells"][0]["probability"][0] = 0.5; }},
      {"probability", [](Json& c) { c["trays"][0]["cells"][0]["probability"][0] = nullptr; }},
      {"count", [](Json& c) { c["trays"][0]["cells"][0]["count"] = 9; }},
      {"state", [](Json& c) { c["trays"][0]["cells"][0]["state"] = "single"; }},
      {"review", [](Json& c) { c["trays"][0]["cells"][0]["review"] = 0; }},
      {"summary", [](Json& c) { c["trays"][0]["summary"]["seedlings"] = 4; }},
      {"remarks", [](Json& c) { c["remarks"][0] = 4; }},
      {"lot", [](Json& c) { c["trays"][0]["lot"] = 12; }},
      {"sown_on", [](Json& c) { c["trays"][0]["sown_on"] = "last week"; }},
      {"seeds_in_view", [](Json& c) { c["trays"][0]["seeds_in_view"] = 1.5; }},
  };
  for (const Damage& damage : damages) {
    const std::string complaint = complaint_after(damage.make);
    CAPTURE(damage.names);
    CAPTURE(complaint);
    CHECK(complaint.find(damage.names) != std::string::npos);
  }
}

TEST_CASE("lot and day of sowing come back, and stay away where they weren't told") {
  Census census = small_census();
  CHECK_FALSE(to_json(census)["trays"][0].contains("lot"));
  census.trays[0].lot = "Rowan 12", census.trays[0].sown_on = "2026-03-12";
  const Census back = census_from_json(to_json(census));
  CHECK(back.trays[0].lot == "Rowan 12");
  CHECK(back.trays[0].sown_on == "2026-03-12");
}

TEST_CASE("seeds in view come back, and stay away where none were seen") {
  Census census = small_census();
  CHECK_FALSE(to_json(census)["trays"][0].contains("seeds_in_view"));
  census.trays[0].seeds_in_view = 0.875;
  CHECK(census_from_json(to_json(census)).trays[0].seeds_in_view == 0.875);
}

TEST_CASE("a label and the plants' places come back, and stay away where there are none") {
  Census census = small_census();
  CHECK(to_json(census).dump().find("\"label\"") == std::string::npos);
  CHECK(to_json(census).dump().find("\"plant\"") == std::string::npos);
  census.trays[0].label = TrayLabel{"K7", "Rowan 12", {}, "2026-04-02", 1, "plug-128"};
  census.trays[0].cells[0].plant = Point{-0.12, 0.2};
  const Census back = census_from_json(to_json(census));
  CHECK(back.trays[0].label == census.trays[0].label);
  REQUIRE(back.trays[0].cells[0].plant.has_value());
  CHECK(back.trays[0].cells[0].plant->x == -0.12);
}
