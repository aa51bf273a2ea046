// SPDX-License-Identifier: Apache-2.0
// How much germination does a lot lose in store?
//
// Seeds of a lot die at times that are normally distributed, so that germination falls along a straight line
// in probits: v = Ki − p / σ, with log10 σ = KE − CW log10 m − CH t − CQ t² (p days of storage, m % moisture
// of the fresh weight, t °C). Ellis & Roberts 1980, Ann Bot 45:13-30; constants from memory. A rough guide:
// real moisture and temperature are hardly ever known.
#pragma once

#include <optional>
#include <string_view>

namespace braird {

struct Storage {
  double days = 0;              ///< since the pack's test, ≥ 0
  double moisture_percent = 8;  ///< of the seed, 2..25; common for paper packs, no source
  double celsius = 15;          ///< −20..90
};

/// Days in which germination falls by one probit; nothing where no constants are known (onion, lettuce,
/// barley are). Throws std::invalid_argument out of range.
std::optional<double> days_a_probit(std::string_view crop, const Storage& storage);

/// The germination left of `tested` in (0, 1).
std::optional<double> aged_germination(std::string_view crop, double tested, const Storage& storage);

}  // namespace braird
