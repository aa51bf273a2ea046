// SPDX-License-Identifier: Apache-2.0
// Writes the man page and the shells' completions into a folder, at build time: pages FOLDER.
#include <CLI/App.hpp>
#include <iostream>

#include "cli/app.h"
#include "cli/pages/completions.h"
#include "cli/pages/man_page.h"
#include "cli/whole_file.h"

namespace {

void write_pages(const std::filesystem::path& folder) {
  using namespace braird::cli;
  CLI::App app;
  add_commands(app);
  const auto commands = facts_of(app);
  write_whole_file(folder / "braird.1", man_page(commands, BRAIRD_VERSION));
  write_whole_file(folder / "braird.bash", bash_completion(commands));
  write_whole_file(folder / "_braird", zsh_completion(commands));
  write_whole_file(folder / "braird.fish", fish_completion(commands));
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "pages FOLDER: writes the man page and the completions there\n";
    return 2;
  }
  try {
    write_pages(argv[1]);
  } catch (const std::exception& fault) {
    std::cerr << "pages: " << fault.what() << '\n';
    return 1;
  }
}
