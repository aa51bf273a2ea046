// SPDX-License-Identifier: Apache-2.0
#include "vision/net/weights.h"

#include <doctest/doctest.h>

#include <cstdint>
#include <cstring>
#include <opencv2/core.hpp>
#include <span>
#include <stdexcept>
#include <string>
#include <vector>

#include "vision/models.h"

using namespace braird;
using namespace braird::vision;

namespace {

std::vector<unsigned char> file_of(const std::string& header, const std::vector<float>& values) {
  const std::string padded = header + std::string((8 - header.size() % 8) % 8, ' ');
  cv::Mat halves;
  cv::Mat(values).convertTo(halves, CV_16F);
  std::vector<unsigned char> file(8 + padded.size() + 2 * values.size());
  const std::uint64_t length = padded.size();
  std::memcpy(file.data(), &length, 8);
  std::memcpy(file.data() + 8, padded.data(), padded.size());
  std::memcpy(file.data() + 8 + padded.size(), halves.data, 2 * values.size());
  return file;
}

}  // namespace

TEST_CASE("weights are read as they were written") {
  const auto file = file_of(
      R"({"__metadata__":{"minutes":"3"},"a.weight":{"dtype":"F16","shape":[2,1],"data_offsets":[0,4]},)"
      R"("b.bias":{"dtype":"F16","shape":[1],"data_offsets":[4,6]}})",
      {1.5F, -2, 7});
  const Weights weights = read_weights(file);
  REQUIRE(weights.size() == 2);
  CHECK(weights.at("a.weight").shape == std::vector{2, 1});
  CHECK(weights.at("a.weight").values[1] == -2);
  CHECK(read_weights(file, "b.").at("bias").values[0] == 7);
  CHECK(read_weights(file, "c.").empty());
}

TEST_CASE("weights of 32 bits are read too") {
  auto file = file_of(R"({"a":{"dtype":"F32","shape":[1],"data_offsets":[0,4]}})", {0, 0});
  const float value = 0.1F;
  std::memcpy(file.data() + file.size() - sizeof value, &value, sizeof value);
  CHECK(read_weights(file).at("a").values.at(0) == value);
}

TEST_CASE("bytes that are no weights are refused") {
  const std::string whole = R"({"a":{"dtype":"F16","shape":[2],"data_offsets":[0,4]}})";
  auto file = file_of(whole, {1, 2});
  CHECK(read_weights(file).size() == 1);
  file.pop_back();
  CHECK_THROWS_AS(read_weights(file), std::invalid_argument);
  CHECK_THROWS_AS(read_weights(std::span(file).first(7)), std::invalid_argument);
  CHECK_THROWS_AS(read_weights(std::span(file).first(20)), std::invalid_argument);
  for (const char* header :
       {"{", "[1]", R"({"a":3})", R"({"a":{"dtype":"I16","shape":[2],"data_offsets":[0,4]}})",
        R"({"a":{"dtype":"F16","shape":[3],"data_offsets":[0,4]}})",
        R"({"a":{"dtype":"F16","shape":[2],"data_offsets":[4,0]}})"})
    CHECK_THROWS_AS(read_weights(file_of(header, {1, 2})), std::invalid_argument);
}

TEST_CASE("the shipped networks hold some hundred thousand numbers each, in files of less than 2.5 MB") {
  for (const Model model : kModels) {
    std::size_t numbers = 0;
    for (const auto& [name, tensor] : model_weights(model)) numbers += tensor.values.size();
    CHECK(numbers > 100000);
    CHECK(2 * numbers < 2'500'000);
  }
}
