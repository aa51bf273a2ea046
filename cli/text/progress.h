// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>

namespace braird::cli {

/// One line that shows how many of `total` photos are done, as "[#####-----]  5 of 10  name". `total` ≥ 1.
std::string progress_line(std::size_t done, std::size_t total, const std::string& name);

}  // namespace braird::cli
