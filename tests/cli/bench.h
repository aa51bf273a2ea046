// SPDX-License-Identifier: Apache-2.0
// A command run within the test, on files of its own.
#pragma once

#include <fstream>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "cli/app.h"
#include "tests/vision/photo_files.h"

namespace braird::test {

inline const std::string kPhoto = std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/plug-128-brassica.jpg";

struct Said {
  cli::ExitCode code;
  std::string out, err;
};

inline Said said_on(const std::vector<std::string>& arguments, bool terminal = false,
                    std::istream* in = nullptr) {
  std::ostringstream out, err;
  const cli::ExitCode code = cli::run_braird(arguments, {out, err, terminal, in});
  return {code, out.str(), err.str()};
}

inline Said said_by(const std::string& command, std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), command);
  return said_on(std::move(arguments));
}

// A folder with a file in it; the file goes with the folder.
struct Bench {
  ScratchFolder folder;

  std::string file(const std::string& name, const std::string& content) const {
    const auto path = folder.path / name;
    std::ofstream(path, std::ios::binary) << content;
    return path.string();
  }
};

}  // namespace braird::test
