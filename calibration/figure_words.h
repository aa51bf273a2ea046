// SPDX-License-Identifier: Apache-2.0
// How figures are said in words: everywhere in the same way.
#pragma once

#include <string>

namespace braird {

/// Per cent: "92", "143", or "7.4" and "99.6" where whole ones would hide the figure. None and all are "0"
/// and "100", but rounding makes neither: "<0.1", ">99.9".
std::string percent(double share);

/// The same of a chance, in which all is a certainty that only rounding makes.
std::string percent_chance(double chance);

/// 1056 as "1,056"; to the nearest whole.
std::string grouped(double number);

/// "1 seed", "1,056 seeds".
std::string counted(double number, const char* one, const char* many);

}  // namespace braird
