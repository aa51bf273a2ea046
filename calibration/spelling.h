// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>

namespace braird {

/// How many letters must be put in, left out, changed or swapped with their neighbour to make `b` of `a`? No
/// letter is touched twice ("optimal string alignment", the restricted form of F. J. Damerau, "A technique
/// for computer detection and correction of spelling errors", Communications of the ACM 7 (1964) 171-176).
std::size_t edit_distance(const std::string& a, const std::string& b);

/// How many such slips in a word of so many letters still show what was meant? Beyond that a guess would
/// mislead. Common practice, no source.
std::size_t most_slips(std::size_t letters);

}  // namespace braird
