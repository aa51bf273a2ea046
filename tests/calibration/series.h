// SPDX-License-Identifier: Apache-2.0
// Published daily counts: data of Ritz, Pipper & Streibig 2013, Eur J Agron 45:1-6, 20 seeds in each dish of
// wheat, rice and mungbean (days, watched for at most 18), 200 chickweed seeds (hours).
#pragma once

#include "calibration/germination_times.h"

namespace braird::test {

inline Inspections wheat_22() {
  return from_new_counts(20, {2, 3, 4, 5, 6, 7, 9}, std::vector<double>{0, 1, 12, 3, 0, 3, 0});
}

inline Inspections wheat_10() {
  return from_new_counts(20, {1, 2, 3, 4, 5, 6, 7, 9, 18}, std::vector<double>{0, 0, 0, 0, 0, 4, 6, 8, 0});
}

inline Inspections rice_16() {
  return from_new_counts(20, {2, 3, 4, 5, 6, 7, 9, 10, 18}, std::vector<double>{0, 0, 0, 0, 0, 4, 4, 2, 0});
}

inline Inspections mungbean_16() {
  return from_new_counts(20, {1, 2, 3, 4}, std::vector<double>{0, 1, 7, 12});
}

inline Inspections chickweed() {
  return from_new_counts(200,
                         {12,    22,    30,    36,    46,    54,    60,    71,    78,    84,    95,    103,
                          109,   120,   129,   133,   143,   151,   158.5, 169.5, 176.5, 182.5, 192.5, 200.5,
                          206.5, 216.5, 224.5, 230.5, 241.5, 249.5, 254.5, 266.5, 276.5, 281.5},
                         std::vector<double>{0, 0, 0, 0, 0, 0,  0,  0, 0, 0, 0, 0, 0, 0, 0, 0, 2,
                                             0, 0, 0, 0, 3, 10, 11, 6, 5, 2, 0, 0, 0, 0, 0, 1, 0});
}

}  // namespace braird::test
