// SPDX-License-Identifier: Apache-2.0
#include "tests/cli/program.h"

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>
#include <iterator>

#include "tests/vision/photo_files.h"

namespace braird::test {
namespace {

std::string text_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

void write_into(const std::filesystem::path& path, int descriptor) {
  const int file = open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  dup2(file, descriptor);
  close(file);
}

double seconds(const timeval& time) {
  return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_usec) / 1e6;
}

[[noreturn]] void become_program(const std::vector<std::string>& arguments,
                                 const std::filesystem::path& folder) {
  write_into(folder / "out", STDOUT_FILENO);
  write_into(folder / "err", STDERR_FILENO);
  std::vector<char*> words = {const_cast<char*>(BRAIRD_PROGRAM)};
  for (const std::string& argument : arguments) words.push_back(const_cast<char*>(argument.c_str()));
  words.push_back(nullptr);
  execv(BRAIRD_PROGRAM, words.data());
  _exit(127);
}

}  // namespace

Ran run_program(const std::vector<std::string>& arguments) {
  const ScratchFolder folder;
  const pid_t child = fork();
  if (child == 0) become_program(arguments, folder.path);
  int status = 0;
  rusage used{};
  wait4(child, &status, 0, &used);
  return {WIFSIGNALED(status) ? -WTERMSIG(status) : WEXITSTATUS(status), text_of(folder.path / "out"),
          text_of(folder.path / "err"), seconds(used.ru_utime) + seconds(used.ru_stime),
          used.ru_maxrss / 1024};
}

}  // namespace braird::test
