// SPDX-License-Identifier: Apache-2.0
#include "cli/ledger_place.h"

#include <CLI/App.hpp>
#include <cstdlib>
#include <stdexcept>

namespace braird::cli {
namespace {

namespace fs = std::filesystem;

fs::path from_environment(const char* name) {
  const char* value = std::getenv(name);
  return value ? value : "";
}

fs::path data_folder() {
  if (fs::path told = from_environment("XDG_DATA_HOME"); told.is_absolute()) return told;
  const fs::path home = from_environment("HOME");
  if (home.empty())
    throw std::runtime_error("there is no home folder to keep the ledger in; name one with --ledger");
  return home / ".local" / "share";
}

}  // namespace

fs::path ledger_place(const fs::path& told) {
  if (!told.empty()) return told;
  if (fs::path named = from_environment("BRAIRD_LEDGER"); !named.empty()) return named;
  return data_folder() / "braird" / "ledger.sqlite";
}

ledger::Ledger standing_ledger(const fs::path& told) {
  const fs::path place = ledger_place(told);
  std::error_code unused;
  return {place, fs::exists(place, unused) ? ledger::Access::write : ledger::Access::read};
}

void add_ledger_option(CLI::App& command, fs::path& ledger) {
  command.add_option("--ledger", ledger, "The ledger's file, if not the usual one");
}

}  // namespace braird::cli
