// SPDX-License-Identifier: Apache-2.0
// Killed writers, two writers, full disks, read-only folders: the ledger loses nothing that was acknowledged.
// BRAIRD_KILLS=1000 runs all rounds (tests/ledger/kills.sh); a plain run does some.
#include <doctest/doctest.h>
#include <signal.h>
#include <sys/mount.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <fstream>
#include <functional>
#include <iterator>
#include <thread>

#include "calibration/ledger/packing.h"
#include "tests/ledger/numbered_censuses.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

namespace {

/// Runs `work` in a process of its own; its exit status.
int in_child(const std::function<int()>& work) {
  const pid_t child = fork();
  if (child == 0) {
    int code = 99;
    try {
      code = work();
    } catch (...) {
    }
    _exit(code);
  }
  int status = 0;
  waitpid(child, &status, 0);
  return WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status);
}

/// A disk of 1 MB, where mounting one is permitted; gone again in the end.
struct SmallDisk {
  explicit SmallDisk(std::filesystem::path at) : path(std::move(at)) {
    std::filesystem::create_directory(path);
    mounted = mount("tmpfs", path.c_str(), "tmpfs", 0, "size=1m") == 0;
    if (!mounted) MESSAGE("skipped: mounting a small disk is not permitted here");
  }
  ~SmallDisk() {
    if (mounted) umount(path.c_str());
  }
  SmallDisk(const SmallDisk&) = delete;

  std::filesystem::path path;
  bool mounted = false;
};

/// Keeps photo after photo and says each one's number once `keep` has returned.
[[noreturn]] void keep_on(const std::filesystem::path& file, unsigned first, int tell) {
  try {
    Ledger ledger(file, Access::write);
    for (unsigned number = first;; ++number) {
      keep_number(ledger, number);
      if (write(tell, &number, sizeof number) != sizeof number) _exit(1);
    }
  } catch (...) {
    _exit(2);
  }
}

/// Starts a writer, kills it after `wait`, and returns the last number it acknowledged (or first - 1).
unsigned write_until_killed(const std::filesystem::path& file, unsigned first,
                            std::chrono::microseconds wait) {
  int ends[2];
  REQUIRE(pipe(ends) == 0);
  const pid_t child = fork();
  if (child == 0) {
    close(ends[0]);
    keep_on(file, first, ends[1]);
  }
  close(ends[1]);
  std::this_thread::sleep_for(wait);
  kill(child, SIGKILL);
  unsigned last = first - 1, number = 0;
  while (read(ends[0], &number, sizeof number) == sizeof number) last = number;
  close(ends[0]);
  int status = 0;
  waitpid(child, &status, 0);
  CHECK(WIFSIGNALED(status));  // it was at work to the end
  return last;
}

/// All censuses from 1 to `last` are there, whole; at most one more, which nobody had acknowledged yet.
unsigned check_whole(const std::filesystem::path& file, unsigned last) {
  Ledger ledger(file, Access::write);
  CHECK(ledger.file().single("PRAGMA foreign_key_check") == 0);
  Statement sound = ledger.file().prepare("PRAGMA quick_check");
  REQUIRE(sound.next());
  CHECK(sound.text(0) == "ok");
  const auto photos = static_cast<unsigned>(ledger.file().single("SELECT count(*) FROM photos"));
  CHECK(photos >= last);
  CHECK(photos <= last + 1);
  CHECK(ledger.file().single("SELECT count(DISTINCT photo) FROM censuses") == photos);
  Statement latest =
      ledger.file().prepare("SELECT counts FROM censuses JOIN photos ON photos.id = photo WHERE hash = ?");
  for (unsigned number = last > 3 ? last - 3 : 1; number <= last; ++number) {
    const Bytes hash = hash_of(std::to_string(number));
    latest.bind(BlobView{hash});
    REQUIRE(latest.next());
    CHECK(latest.bytes(0) == pack_counts(made_census(number).trays[0].cells));
  }
  return photos;
}

int kill_rounds() {
  const char* told = std::getenv("BRAIRD_KILLS");
  return told ? std::atoi(told) : 25;
}

}  // namespace

TEST_CASE("killed at any moment, the ledger holds every acknowledged census whole and none half") {
  const LedgerFolder folder;
  std::mt19937 random(17);
  unsigned kept = 0;
  for (int round = 0; round < kill_rounds(); ++round) {
    const std::chrono::microseconds wait(random() % 60'000 + 200);
    const unsigned acknowledged = write_until_killed(folder.file(), kept + 1, wait);
    kept = check_whole(folder.file(), acknowledged);
    // Kept short, so that comparing with earlier trays does not slow the writers down.
    if (kept > 150) {
      std::filesystem::remove(folder.file());
      std::filesystem::remove(folder.file().string() + "-wal");
      std::filesystem::remove(folder.file().string() + "-shm");
      kept = 0;
    }
  }
}

TEST_CASE("two writers at once: what both kept is there") {
  const LedgerFolder folder;
  constexpr unsigned each = 40;
  pid_t writers[2];
  for (unsigned writer = 0; writer < 2; ++writer)
    if ((writers[writer] = fork()) == 0) {
      try {
        for (unsigned at = 0; at < each; ++at) {
          Ledger ledger(folder.file(), Access::write);
          keep_number(ledger, 1 + at + writer * each);
        }
      } catch (...) {
        _exit(1);
      }
      _exit(0);
    }
  for (const pid_t writer : writers) {
    int status = 0;
    waitpid(writer, &status, 0);
    CHECK(status == 0);
  }
  CHECK(check_whole(folder.file(), 2 * each) == 2 * each);
}

TEST_CASE("a full disk: one sentence, the old content intact, and room again is enough") {
  const LedgerFolder folder;
  const SmallDisk small(folder.path / "disk");
  if (!small.mounted) return;
  const auto& disk = small.path;
  const auto file = disk / "season.braird";
  unsigned kept = 0;
  std::string sentence;
  try {
    Ledger ledger(file, Access::write);
    for (; kept < 1000; ++kept) keep_number(ledger, kept + 1);
  } catch (const LedgerTrouble& why) {
    sentence = why.what();
  }
  CHECK(sentence.find("no room left") != std::string::npos);
  CHECK(kept > 3);
  {
    const Ledger ledger(file, Access::read);
    CHECK(ledger.file().single("SELECT count(*) FROM censuses") == kept);
  }
  mount("tmpfs", disk.c_str(), "tmpfs", MS_REMOUNT, "size=8m");
  {
    Ledger ledger(file, Access::write);
    keep_number(ledger, kept + 1);
  }
  CHECK(check_whole(file, kept + 1) == kept + 1);
}

TEST_CASE("a ledger moved onto a full disk is read, and writing says that there is no room") {
  const LedgerFolder folder;
  const SmallDisk small(folder.path / "disk");
  if (!small.mounted) return;
  const auto& disk = small.path;
  {
    Ledger ledger(folder.file(), Access::write);
    keep_number(ledger, 1);
  }
  std::filesystem::copy(folder.file(), disk / "season.braird");
  std::ofstream(disk / "filling") << std::string(1'000'000, ' ');
  {
    const Ledger ledger(disk / "season.braird", Access::read);
    CHECK(ledger.file().single("SELECT count(*) FROM censuses") == 1);
  }
  CHECK_THROWS_WITH_AS(Ledger(disk / "season.braird", Access::write), doctest::Contains("no room left"),
                       LedgerTrouble);
}

TEST_CASE("a read-only folder: reading works, writing gets one sentence") {
  const LedgerFolder folder;
  {
    Ledger ledger(folder.file(), Access::write);
    keep_number(ledger, 1);
  }
  const std::string before = content_of(folder.file());
  chmod(folder.file().c_str(), 0444);
  chmod(folder.path.c_str(), 0555);
  const int code = in_child([&] {
    // Root may write anywhere.
    if (geteuid() == 0 && setuid(65534) != 0) return 50;
    if (Ledger(folder.file(), Access::read).file().single("SELECT count(*) FROM censuses") != 1) return 1;
    try {
      Ledger ledger(folder.file(), Access::write);
      keep_number(ledger, 2);
      return 2;
    } catch (const LedgerTrouble& why) {
      return std::string(why.what()).find("cannot be written") == std::string::npos ? 3 : 0;
    }
  });
  chmod(folder.path.c_str(), 0755);
  if (code == 50)
    MESSAGE("skipped: no way to become an ordinary user here");
  else
    CHECK(code == 0);
  CHECK(content_of(folder.file()) == before);
}
