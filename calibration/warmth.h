// SPDX-License-Identifier: Apache-2.0
// How many normal seedlings does a medium of this temperature give?
//
// Percent of normal seedlings, Harrington JF & Minges PA 1954, Vegetable seed germination, Calif. Agr. Ext.
// mimeo (via Knott's Handbook 1997); linear between the table's temperatures. Entries that are missing there
// (printed as zero beside a temperature that was not tested) are left out. One lot of each crop was tested:
// use the ratio of two temperatures, not the number itself.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace braird {

/// A share 0..1; nothing where the table lacks the crop or the temperature.
std::optional<double> normal_seedlings(std::string_view crop, double soil_c);

/// The best share of the crop over all temperatures.
std::optional<double> best_normal_seedlings(std::string_view crop);

/// "cooler" or "warmer": which way from `soil_c` lies the crop's best temperature (the coolest of equals)?
/// Nothing where the table lacks the crop.
std::optional<std::string> towards_best(std::string_view crop, double soil_c);

/// By which factor does germination change from one bench to another? Without `from_c` the best temperature
/// is taken as the old one. Nothing where the table can't tell, or nothing comes up at the old temperature.
std::optional<double> warmth_factor(std::string_view crop, std::optional<double> from_c, double to_c);

/// Does what comes up at one temperature tell of a better one? Not where it is under half of what the best
/// gives.
bool tells_of(double next_c, std::string_view crop, double here_c);

}  // namespace braird
