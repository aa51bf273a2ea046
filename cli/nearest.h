// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace braird::cli {

/// Which of `words` may be meant by a misspelt `word`? The nearest, if it has no more slips than still show
/// that (calibration/spelling.h); the first of equals. A word that is the beginning of just one of them means
/// that one.
std::optional<std::string> nearest(const std::string& word, const std::vector<std::string>& words);

}  // namespace braird::cli
