// SPDX-License-Identifier: Apache-2.0
// The rules' tables, crop by crop.
#include <doctest/doctest.h>

#include <optional>
#include <vector>

#include "calibration/standards.h"

using namespace braird;

namespace {

int or_none(std::optional<int> value) {
  return value.value_or(0);
}

}  // namespace

TEST_CASE("published: count days, the whole of 7 CFR 201.58 Table 2 for vegetables") {
  struct Entry {
    const char* crop;
    int first, final;  // first 0: none
  };
  for (const Entry& row : std::vector<Entry>{
           {"onion", 6, 10},      {"leek", 6, 14},        {"chives", 6, 14},  {"spinach", 7, 21},
           {"lettuce", 0, 7},     {"tomato", 5, 14},      {"turnip", 3, 7},   {"cabbage", 3, 10},
           {"broccoli", 3, 10},   {"cauliflower", 3, 10}, {"kale", 3, 10},    {"chinese cabbage", 3, 7},
           {"pak choi", 3, 7},    {"beet", 3, 14},        {"chard", 3, 14},   {"carrot", 6, 14},
           {"radish", 4, 6},      {"pepper", 6, 14},      {"cucumber", 3, 7}, {"eggplant", 7, 14},
           {"celery", 10, 21},    {"parsley", 11, 28},    {"parsnip", 6, 28}, {"pea", 5, 8},
           {"squash", 4, 7},      {"pumpkin", 4, 7},      {"melon", 4, 10},   {"watermelon", 4, 14},
           {"sweet corn", 4, 7},  {"rutabaga", 3, 14},    {"endive", 5, 14},  {"chicory", 5, 14},
           {"cornsalad", 7, 28},  {"asparagus", 7, 21},   {"okra", 4, 14},    {"artichoke", 7, 21},
           {"garden bean", 0, 8}, {"garden cress", 4, 10}}) {
    CAPTURE(row.crop);
    const auto days = count_days(row.crop);
    REQUIRE(days);
    CHECK(or_none(days->first) == row.first);
    CHECK(days->final == row.final);
  }
  CHECK_FALSE(count_days("moon melon"));
}

TEST_CASE("published: least germination, the whole of 7 CFR 201.31 (59 FR 64491, 1994)") {
  struct Entry {
    const char* crop;
    int percent;
  };
  for (const Entry& row : std::vector<Entry>{{"artichoke", 60},
                                             {"asparagus", 70},
                                             {"asparagusbean", 75},
                                             {"garden bean", 70},
                                             {"lima bean", 70},
                                             {"runner bean", 75},
                                             {"beet", 65},
                                             {"broad bean", 75},
                                             {"broccoli", 75},
                                             {"brussels sprouts", 70},
                                             {"burdock", 60},
                                             {"cabbage", 75},
                                             {"tronchuda cabbage", 70},
                                             {"cardoon", 60},
                                             {"carrot", 55},
                                             {"cauliflower", 75},
                                             {"celeriac", 55},
                                             {"celery", 55},
                                             {"chard", 65},
                                             {"chicory", 65},
                                             {"chinese cabbage", 75},
                                             {"chives", 50},
                                             {"citron", 65},
                                             {"collards", 80},
                                             {"sweet corn", 75},
                                             {"cornsalad", 70},
                                             {"cowpea", 75},
                                             {"garden cress", 75},
                                             {"upland cress", 60},
                                             {"watercress", 40},
                                             {"cucumber", 80},
                                             {"dandelion", 60},
                                             {"dill", 60},
                                             {"eggplant", 60},
                                             {"endive", 70},
                                             {"kale", 75},
                                             {"chinese kale", 75},
                                             {"siberian kale", 75},
                                             {"kohlrabi", 75},
                                             {"leek", 60},
                                             {"lettuce", 80},
                                             {"melon", 75},
                                             {"india mustard", 75},
                                             {"spinach mustard", 75},
                                             {"okra", 50},
                                             {"onion", 70},
                                             {"welsh onion", 70},
                                             {"pak choi", 75},
                                             {"parsley", 60},
                                             {"parsnip", 60},
                                             {"pea", 80},
                                             {"pepper", 55},
                                             {"pumpkin", 75},
                                             {"radish", 75},
                                             {"rhubarb", 60},
                                             {"rutabaga", 75},
                                             {"sage", 60},
                                             {"salsify", 75},
                                             {"summer savory", 55},
                                             {"sorrel", 65},
                                             {"soybean", 75},
                                             {"spinach", 60},
                                             {"new zealand spinach", 40},
                                             {"squash", 75},
                                             {"tomato", 75},
                                             {"husk tomato", 50},
                                             {"turnip", 80},
                                             {"watermelon", 70}}) {
    CAPTURE(row.crop);
    const auto minimum = minimum_germination(row.crop);
    REQUIRE(minimum);
    CHECK(or_none(minimum->united_states) == row.percent);
  }
  CHECK_FALSE(minimum_germination("moon melon"));
  CHECK_FALSE(minimum_germination("scorzonera")->united_states);
}

TEST_CASE("from memory: least germination, the whole of Directive 2002/55/EC Annex II 3(a)") {
  struct Entry {
    const char* crop;
    int percent;
  };
  for (const Entry& row : std::vector<Entry>{{"onion", 70},
                                             {"welsh onion", 65},
                                             {"leek", 65},
                                             {"chives", 65},
                                             {"chervil", 70},
                                             {"celery", 70},
                                             {"celeriac", 70},
                                             {"asparagus", 70},
                                             {"beet", 70},
                                             {"chard", 70},
                                             {"cauliflower", 70},
                                             {"cabbage", 75},
                                             {"broccoli", 75},
                                             {"brussels sprouts", 75},
                                             {"kale", 75},
                                             {"kohlrabi", 75},
                                             {"collards", 75},
                                             {"chinese cabbage", 75},
                                             {"turnip", 80},
                                             {"pepper", 65},
                                             {"chicory", 65},
                                             {"endive", 65},
                                             {"watermelon", 75},
                                             {"melon", 75},
                                             {"cucumber", 80},
                                             {"pumpkin", 80},
                                             {"squash", 75},
                                             {"artichoke", 65},
                                             {"cardoon", 65},
                                             {"carrot", 65},
                                             {"florence fennel", 70},
                                             {"lettuce", 75},
                                             {"tomato", 75},
                                             {"parsley", 65},
                                             {"runner bean", 80},
                                             {"garden bean", 75},
                                             {"pea", 80},
                                             {"radish", 70},
                                             {"rhubarb", 70},
                                             {"scorzonera", 70},
                                             {"eggplant", 65},
                                             {"spinach", 75},
                                             {"cornsalad", 65},
                                             {"broad bean", 80},
                                             {"sweet corn", 85}}) {
    CAPTURE(row.crop);
    const auto minimum = minimum_germination(row.crop);
    REQUIRE(minimum);
    CHECK(or_none(minimum->european_union) == row.percent);
  }
  CHECK_FALSE(minimum_germination("okra")->european_union);
}
