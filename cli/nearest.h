// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace braird::cli {

/// How many letters must be put in, left out, changed or swapped with their neighbour to make `b` of `a`? No
/// letter is touched twice ("optimal string alignment", the restricted form of F. J. Damerau, "A technique
/// for computer detection and correction of spelling errors", Communications of the ACM 7 (1964) 171-176).
std::size_t edit_distance(const std::string& a, const std::string& b);

/// Which of `words` may be meant by a misspelt `word`? The nearest, if at most a third of its letters (and at
/// least one) differ; the first of equals. A word that is the beginning of just one of them means that one.
std::optional<std::string> nearest(const std::string& word, const std::vector<std::string>& words);

}  // namespace braird::cli
