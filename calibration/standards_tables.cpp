// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>

#include "calibration/standards.h"

namespace braird {
namespace {

// 7 CFR 201.58, Table 2. Sand and other substrates may take two days longer.
constexpr std::array<CountDays, 38> kCountDays = {{
    {"artichoke", 7, 21},   {"asparagus", 7, 21},    {"beet", 3, 14},           {"broccoli", 3, 10},
    {"cabbage", 3, 10},     {"carrot", 6, 14},       {"cauliflower", 3, 10},    {"celery", 10, 21},
    {"chard", 3, 14},       {"chicory", 5, 14},      {"chinese cabbage", 3, 7}, {"chives", 6, 14},
    {"cornsalad", 7, 28},   {"cucumber", 3, 7},      {"eggplant", 7, 14},       {"endive", 5, 14},
    {"garden bean", {}, 8}, {"garden cress", 4, 10}, {"kale", 3, 10},           {"leek", 6, 14},
    {"lettuce", {}, 7},     {"melon", 4, 10},        {"okra", 4, 14},           {"onion", 6, 10},
    {"pak choi", 3, 7},     {"parsley", 11, 28},     {"parsnip", 6, 28},        {"pea", 5, 8},
    {"pepper", 6, 14},      {"pumpkin", 4, 7},       {"radish", 4, 6},          {"rutabaga", 3, 14},
    {"spinach", 7, 21},     {"squash", 4, 7},        {"sweet corn", 4, 7},      {"tomato", 5, 14},
    {"turnip", 3, 7},       {"watermelon", 4, 14},
}};

// 7 CFR 201.31 (hard seed counts as germinated), and Directive 2002/55/EC, Annex II 3(a), from memory.
// European "other Brassica oleracea" is given for each of its crops; pumpkin is Cucurbita maxima there,
// squash C. pepo.
constexpr std::array<MinimumGermination, 71> kMinima = {{
    {"artichoke", 60, 65},
    {"asparagus", 70, 70},
    {"asparagusbean", 75, {}},
    {"beet", 65, 70},
    {"broad bean", 75, 80},
    {"broccoli", 75, 75},
    {"brussels sprouts", 70, 75},
    {"burdock", 60, {}},
    {"cabbage", 75, 75},
    {"cardoon", 60, 65},
    {"carrot", 55, 65},
    {"cauliflower", 75, 70},
    {"celeriac", 55, 70},
    {"celery", 55, 70},
    {"chard", 65, 70},
    {"chervil", {}, 70},
    {"chicory", 65, 65},
    {"chinese cabbage", 75, 75},
    {"chinese kale", 75, {}},
    {"chives", 50, 65},
    {"citron", 65, {}},
    {"collards", 80, 75},
    {"cornsalad", 70, 65},
    {"cowpea", 75, {}},
    {"cucumber", 80, 80},
    {"dandelion", 60, {}},
    {"dill", 60, {}},
    {"eggplant", 60, 65},
    {"endive", 70, 65},
    {"florence fennel", {}, 70},
    {"garden bean", 70, 75},
    {"garden cress", 75, {}},
    {"husk tomato", 50, {}},
    {"india mustard", 75, {}},
    {"kale", 75, 75},
    {"kohlrabi", 75, 75},
    {"leek", 60, 65},
    {"lettuce", 80, 75},
    {"lima bean", 70, {}},
    {"melon", 75, 75},
    {"new zealand spinach", 40, {}},
    {"okra", 50, {}},
    {"onion", 70, 70},
    {"pak choi", 75, {}},
    {"parsley", 60, 65},
    {"parsnip", 60, {}},
    {"pea", 80, 80},
    {"pepper", 55, 65},
    {"pumpkin", 75, 80},
    {"radish", 75, 70},
    {"rhubarb", 60, 70},
    {"runner bean", 75, 80},
    {"rutabaga", 75, {}},
    {"sage", 60, {}},
    {"salsify", 75, {}},
    {"scorzonera", {}, 70},
    {"siberian kale", 75, {}},
    {"sorrel", 65, {}},
    {"soybean", 75, {}},
    {"spinach", 60, 75},
    {"spinach mustard", 75, {}},
    {"squash", 75, 75},
    {"summer savory", 55, {}},
    {"sweet corn", 75, 85},
    {"tomato", 75, 75},
    {"tronchuda cabbage", 70, {}},
    {"turnip", 80, 80},
    {"upland cress", 60, {}},
    {"watercress", 40, {}},
    {"watermelon", 70, 75},
    {"welsh onion", 70, 65},
}};

template <typename Table>
auto look_up(const Table& table, std::string_view crop) {
  const auto entry = std::ranges::find(table, crop, [](const auto& row) { return row.crop; });
  return entry == table.end() ? std::nullopt : std::optional(*entry);
}

}  // namespace

std::optional<CountDays> count_days(std::string_view crop) {
  return look_up(kCountDays, crop);
}

std::optional<MinimumGermination> minimum_germination(std::string_view crop) {
  return look_up(kMinima, crop);
}

}  // namespace braird
