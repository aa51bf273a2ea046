// SPDX-License-Identifier: Apache-2.0
// Bounds of what is taken for a count: beyond any tray, so that a slip of the finger or a damaged file is
// refused.
#pragma once

namespace braird {

inline constexpr int kMostSeedsPerCell = 50;   ///< sown, or on a label
inline constexpr int kMostRows = 1000;         ///< of a tray, and columns
inline constexpr int kMostSeedlings = 1000;    ///< counted in a cell, or seeds that a table tells of one
inline constexpr int kMostPixels = 1'000'000;  ///< along a photo's side
inline constexpr double kMostOverfull =
    0.05;  ///< of the cells: above it, one with more seedlings than seeds is no slip

inline constexpr double kColdestMedium = -10, kWarmestMedium = 60;  ///< °C
inline constexpr const char* kOfMedium = "from -10 to 60 °C";
inline bool can_be_medium(double celsius) {
  return celsius >= kColdestMedium && celsius <= kWarmestMedium;
}

}  // namespace braird
