// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace braird::cli {

/// Asks the system for memory in large pages, kept once it was used. Pictures and networks touch some hundred
/// megabytes once; by small pages, half of the time of a count goes into getting them.
void prepare_memory();

}  // namespace braird::cli
