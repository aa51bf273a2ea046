// SPDX-License-Identifier: Apache-2.0
#include "cli/pages/completions.h"

#include <fmt/format.h>

#include <map>

namespace braird::cli {
namespace {

std::string joined_names(const auto& entries) {
  std::string names;
  for (const auto& entry : entries) names.append(names.empty() ? "" : " ").append(entry.name);
  return names;
}

/// A backslash before each character of `special`.
std::string escaped(const std::string& text, const std::string& special) {
  std::string safe;
  for (const char c : text) {
    if (special.find(c) != std::string::npos) safe += '\\';
    safe += c;
  }
  return safe;
}

std::string fish_quoted(const std::string& text) {
  return fmt::format("'{}'", escaped(text, "'\\"));
}

/// The shell's single quote within single quotes.
std::string shell_quoted(const std::string& text) {
  std::string safe;
  for (const char c : text) safe += c == '\'' ? "'\\''" : std::string(1, c);
  return fmt::format("'{}'", safe);
}

std::string zsh_option(const OptionFacts& one) {
  std::string line = fmt::format("{}{}[{}]", one.several ? "*" : "", one.name, escaped(one.words, "[]:\\"));
  if (!one.values.empty())
    line += fmt::format(":value:({})", fmt::join(one.values, " "));
  else if (!one.value.empty())
    line += ":value:_files";
  return shell_quoted(line);
}

std::string fish_option(const std::string& command, const OptionFacts& one) {
  std::string line = fmt::format("complete -c braird -n '__fish_seen_subcommand_from {}' -l {} -d {}",
                                 command, one.name.substr(2), fish_quoted(one.words));
  if (!one.value.empty()) line += " -r";
  if (!one.values.empty()) line += fmt::format(" -f -a '{}'", fmt::join(one.values, " "));
  return line + "\n";
}

}  // namespace

std::string bash_completion(const std::vector<CommandFacts>& commands) {
  std::map<std::string, std::vector<std::string>> values;
  std::string options;
  for (const CommandFacts& command : commands) {
    options += fmt::format("    {}) words=\"{} --help --help-all\" ;;\n", command.name,
                           joined_names(command.options));
    for (const OptionFacts& one : command.options)
      if (!one.values.empty()) values[one.name] = one.values;
  }
  std::string known;
  for (const auto& [name, words] : values)
    known += fmt::format("    {}) COMPREPLY=($(compgen -W \"{}\" -- \"$word\")); return ;;\n", name,
                         fmt::join(words, " "));
  return fmt::format(
      "# bash completion for braird\n"
      "_braird() {{\n"
      "  local word=\"${{COMP_WORDS[COMP_CWORD]}}\" before=\"${{COMP_WORDS[COMP_CWORD - 1]}}\" words=\"\"\n"
      "  COMPREPLY=()\n"
      "  if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
      "    COMPREPLY=($(compgen -W \"{} --help --version\" -- \"$word\"))\n"
      "    return\n"
      "  fi\n"
      "  case \"$before\" in\n{}  esac\n"
      "  case \"${{COMP_WORDS[1]}}\" in\n{}  esac\n"
      "  case \"$word\" in\n"
      "    -*) COMPREPLY=($(compgen -W \"$words\" -- \"$word\")) ;;\n"
      "  esac\n"
      "}}\n"
      "complete -o default -F _braird braird\n",
      joined_names(commands), known, options);
}

std::string zsh_completion(const std::vector<CommandFacts>& commands) {
  std::string names, options;
  for (const CommandFacts& command : commands) {
    names += fmt::format("    {}\n", shell_quoted(command.name + ":" + command.words));
    options += fmt::format("    {}) _arguments", command.name);
    for (const OptionFacts& one : command.options) options += " \\\n      " + zsh_option(one);
    options += " \\\n      '--help[Explain the options]' '*:file:_files' ;;\n";
  }
  return fmt::format(
      "#compdef braird\n"
      "local -a commands\n"
      "commands=(\n{})\n"
      "if (( CURRENT == 2 )); then\n"
      "  _describe command commands\n"
      "else\n"
      "  local chosen=$words[2]\n"
      "  shift words\n"
      "  (( CURRENT-- ))\n"
      "  case $chosen in\n{}  esac\n"
      "fi\n",
      names, options);
}

std::string fish_completion(const std::vector<CommandFacts>& commands) {
  std::string text = "# fish completion for braird\n";
  for (const CommandFacts& command : commands)
    text += fmt::format("complete -c braird -n __fish_use_subcommand -f -a {} -d {}\n", command.name,
                        fish_quoted(command.words));
  for (const CommandFacts& command : commands)
    for (const OptionFacts& one : command.options) text += fish_option(command.name, one);
  return text;
}

}  // namespace braird::cli
