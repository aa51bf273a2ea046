// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <fstream>

#include "tests/cli/bench.h"

namespace braird::test {

/// A folder with a ledger; `say` adds --ledger.
struct LedgerBench {
  ScratchFolder folder;
  std::string ledger = (folder.path / "l.sqlite").string();

  Said say(std::vector<std::string> arguments, std::istream* in = nullptr) const {
    arguments.insert(arguments.end(), {"--ledger", ledger});
    return said_on(std::move(arguments), false, in);
  }
  std::string path(const char* name) const { return (folder.path / name).string(); }
  std::string write(const char* name, const std::string& content) const {
    std::ofstream(folder.path / name) << content;
    return path(name);
  }
  Said keep_sample() const {
    return say({"count", "--keep", "--tray", "plug-128", "--crop", "kale", "--seeds", "1", "--lot",
                "Rowan 12", "--sown", "2026-04-02", "--taken", "2026-04-09", kPhoto});
  }
};

}  // namespace braird::test
