// SPDX-License-Identifier: Apache-2.0
// The list of crops (samples/crops.json) against the rules' tables, crop by crop.
#include <doctest/doctest.h>

#include <optional>
#include <sstream>
#include <string>

#include "calibration/profiles.h"

using namespace braird;

namespace {

/// `check` is called with each crop of "onion 6 10, leek 6 14, …" and the words after its name.
void each_crop(const char* rows, std::size_t figures, void (*check)(const CropProfile&, std::istream&)) {
  std::istringstream in(rows);
  for (std::string row; std::getline(in >> std::ws, row, ',');) {
    CAPTURE(row);
    std::size_t name_ends = row.size();
    for (std::size_t at = 0; at < figures; ++at) name_ends = row.rfind(' ', name_ends - 1);
    const CropProfile* crop = find_crop(built_in_profiles(), row.substr(0, name_ends));
    REQUIRE(crop);
    std::istringstream words(row.substr(name_ends));
    check(*crop, words);
  }
}

/// 0 stands for none.
bool is_next(std::istream& words, std::optional<int> value) {
  int figure = -1;
  words >> figure;
  return figure == value.value_or(0);
}

}  // namespace

TEST_CASE("published: count days, the whole of 7 CFR 201.58 Table 2 for vegetables") {
  constexpr const char* first_and_final =
      "onion 6 10, leek 6 14, chives 6 14, spinach 7 21, lettuce 0 7, tomato 5 14, turnip 3 7, cabbage 3 "
      "10, broccoli 3 10, cauliflower 3 10, kale 3 10, chinese cabbage 3 7, pak choi 3 7, beet 3 14, chard "
      "3 14, carrot 6 14, radish 4 6, pepper 6 14, cucumber 3 7, eggplant 7 14, celery 10 21, parsley 11 "
      "28, parsnip 6 28, pea 5 8, squash 4 7, pumpkin 4 7, melon 4 10, watermelon 4 14, sweet corn 4 7, "
      "rutabaga 3 14, endive 5 14, chicory 5 14, cornsalad 7 28, asparagus 7 21, okra 4 14, artichoke 7 21, "
      "garden bean 0 8, garden cress 4 10";
  each_crop(first_and_final, 2, [](const CropProfile& crop, std::istream& days) {
    CHECK(is_next(days, crop.first_count_day));
    CHECK(is_next(days, crop.final_count_day));
  });
}

TEST_CASE("published: least germination, the whole of 7 CFR 201.31 (59 FR 64491, 1994)") {
  constexpr const char* percent =
      "artichoke 60, asparagus 70, asparagusbean 75, garden bean 70, lima bean 70, runner bean 75, beet 65, "
      "broad bean 75, broccoli 75, brussels sprouts 70, burdock 60, cabbage 75, tronchuda cabbage 70, "
      "cardoon 60, carrot 55, cauliflower 75, celeriac 55, celery 55, chard 65, chicory 65, chinese cabbage "
      "75, chives 50, citron 65, collards 80, sweet corn 75, cornsalad 70, cowpea 75, garden cress 75, "
      "upland cress 60, watercress 40, cucumber 80, dandelion 60, dill 60, eggplant 60, endive 70, kale 75, "
      "chinese kale 75, siberian kale 75, kohlrabi 75, leek 60, lettuce 80, melon 75, india mustard 75, "
      "spinach mustard 75, okra 50, onion 70, welsh onion 70, pak choi 75, parsley 60, parsnip 60, pea 80, "
      "pepper 55, pumpkin 75, radish 75, rhubarb 60, rutabaga 75, sage 60, salsify 75, summer savory 55, "
      "sorrel 65, soybean 75, spinach 60, new zealand spinach 40, squash 75, tomato 75, husk tomato 50, "
      "turnip 80, watermelon 70";
  each_crop(percent, 1, [](const CropProfile& crop, std::istream& least) {
    CHECK(is_next(least, crop.minimum_germination_percent));
    CHECK(crop.minimum_source == "7 CFR 201.31");
  });
  CHECK_FALSE(find_crop(built_in_profiles(), "scorzonera")->minimum_germination_percent);
}

TEST_CASE("from memory: least germination, the whole of Directive 2002/55/EC Annex II 3(a)") {
  constexpr const char* percent =
      "onion 70, welsh onion 65, leek 65, chives 65, chervil 70, celery 70, celeriac 70, asparagus 70, beet "
      "70, chard 70, cauliflower 70, cabbage 75, broccoli 75, brussels sprouts 75, kale 75, kohlrabi 75, "
      "collards 75, chinese cabbage 75, turnip 80, pepper 65, chicory 65, endive 65, watermelon 75, melon "
      "75, cucumber 80, pumpkin 80, squash 75, artichoke 65, cardoon 65, carrot 65, florence fennel 70, "
      "lettuce 75, tomato 75, parsley 65, runner bean 80, garden bean 75, pea 80, radish 70, rhubarb 70, "
      "scorzonera 70, eggplant 65, spinach 75, cornsalad 65, broad bean 80, sweet corn 85";
  each_crop(percent, 1, [](const CropProfile& crop, std::istream& least) {
    CHECK(is_next(least, crop.european_union_percent));
  });
  CHECK_FALSE(find_crop(built_in_profiles(), "okra")->european_union_percent);
}
