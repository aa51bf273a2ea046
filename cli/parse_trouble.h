// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

namespace CLI {
class App;
class ParseError;
}  // namespace CLI

namespace braird::cli {

/// Throws std::invalid_argument with one sentence for words that would be read as something else than is
/// meant: the rest of a lot's name as a file, and the next word as the value that an option lacks.
void refuse_misread(const std::vector<std::string>& typed);

/// What is wrong with the command line that `app` could not read: one sentence that names the command or
/// option, says which may have been meant, and where to read on.
std::string parse_trouble(const CLI::App& app, const CLI::ParseError& why,
                          const std::vector<std::string>& typed);

}  // namespace braird::cli
