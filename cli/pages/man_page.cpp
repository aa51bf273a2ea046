// SPDX-License-Identifier: Apache-2.0
#include "cli/pages/man_page.h"

#include <fmt/format.h>

namespace braird::cli {
namespace {

/// Text in which nothing is a request or an escape; hyphens are those that one types.
std::string plain(const std::string& text) {
  std::string safe;
  for (const char c : text) safe += c == '\\' ? "\\e" : c == '-' ? "\\-" : std::string(1, c);
  return safe.starts_with('.') || safe.starts_with('\'') ? "\\&" + safe : safe;
}

std::string tagged(const OptionFacts& one) {
  const std::string value = one.value.empty() ? "" : fmt::format(" \\fI{}\\fR", plain(one.value));
  return fmt::format(".TP\n\\fB{}\\fR{}{}\n{}\n", plain(one.name), value, one.several ? "..." : "",
                     plain(one.words));
}

std::string synopsis(const CommandFacts& command) {
  std::string line = fmt::format(".B braird {}\n", command.name);
  for (const OptionFacts& one : command.arguments)
    line += fmt::format("{}{}{}{}\n", one.required ? "" : "[", one.name, one.several ? "..." : "",
                        one.required ? "" : "]");
  for (const OptionFacts& one : command.options)
    if (one.required) line += fmt::format("{} {}\n", plain(one.name), one.value);
  return line + "[OPTIONS]\n";
}

std::string section(const CommandFacts& command) {
  std::string text =
      fmt::format(".SS {}\n{}.\n.PP\n{}", command.name, plain(command.words), synopsis(command));
  for (const auto* list : {&command.arguments, &command.options})
    for (const OptionFacts& one : *list) text += tagged(one);
  if (!command.example.empty())
    text += fmt::format(".PP\nExample:\n.PP\n.nf\n{}\n.fi\n", plain(command.example));
  return text;
}

constexpr const char* kEnd =
    ".SH EXIT STATUS\n"
    "0: all done. 1: something was not, such as a photo that could not be counted; the rest was.\n"
    "2: the command line makes no sense; nothing was done. 3: other trouble.\n"
    ".SH ENVIRONMENT\n"
    ".TP\n\\fBBRAIRD_LEDGER\\fR\nThe ledger's file, where \\-\\-ledger names none.\n"
    ".TP\n\\fBXDG_DATA_HOME\\fR\nThe folder in which braird/ledger.sqlite is kept; ~/.local/share if not "
    "set.\n"
    ".SH FILES\n"
    ".TP\n~/.local/share/braird/ledger.sqlite\nThe ledger: all that \\-\\-keep and note remember.\n"
    ".TP\n/usr/share/doc/braird/examples\nPhotos, hand counts and prices to try it with.\n"
    ".SH CAUTIONS\n"
    "Treated or pelleted seed: gloves, and keep it from food, feed and animals. Dry topping and compost "
    "dust:\n"
    "a mask, or wet it first. Local rules and the seed label come first.\n";

}  // namespace

std::string man_page(const std::vector<CommandFacts>& commands, const std::string& version) {
  std::string page = fmt::format(
      ".TH BRAIRD 1 \"\" \"braird {}\" \"User Commands\"\n"
      ".SH NAME\nbraird \\- count the seedlings in photos of sowing trays\n"
      ".SH SYNOPSIS\n.B braird\nCOMMAND [OPTIONS]\n"
      ".SH DESCRIPTION\n"
      "Finds the tray's cells in a photo, counts the seedlings in each, works out the germination and gap "
      "rates\n"
      "with intervals, and says what to do about it. No photo leaves the computer.\n"
      ".PP\nFirst: braird count PHOTO. Then tell it more, and it can say more.\n"
      ".SH COMMANDS\n",
      version);
  for (const CommandFacts& command : commands) page += section(command);
  return page + kEnd;
}

}  // namespace braird::cli
