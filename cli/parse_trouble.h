// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace CLI {
class App;
class ParseError;
}  // namespace CLI

namespace braird::cli {

/// What is wrong with the command line that `app` could not read: one sentence that names the command or
/// option, says which may have been meant, and where to read on.
std::string parse_trouble(const CLI::App& app, const CLI::ParseError& why);

}  // namespace braird::cli
