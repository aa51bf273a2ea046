// SPDX-License-Identifier: Apache-2.0
// One-statement range checks: require(sown > 0, "sown", sown, "> 0") throws "sown is 0, but must be > 0".
#pragma once

#include <sstream>
#include <stdexcept>
#include <string_view>

namespace braird {

/// Throws std::invalid_argument "NAME is VALUE, but must be RANGE" unless `holds`.
template <typename Value>
void require(bool holds, std::string_view name, const Value& value, std::string_view range) {
  if (holds) return;
  std::ostringstream sentence;
  sentence << name << " is " << value << ", but must be " << range;
  throw std::invalid_argument(sentence.str());
}

}  // namespace braird
