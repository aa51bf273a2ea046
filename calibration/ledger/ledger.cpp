// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/ledger.h"

#define SQLITE_ENABLE_SESSION 1
#define SQLITE_ENABLE_PREUPDATE_HOOK 1
#include <fmt/format.h>
#include <sqlite3.h>

#include <chrono>
#include <memory>
#include <random>
#include <thread>

#include "calibration/ledger/schema.h"

namespace braird::ledger {
namespace {

namespace fs = std::filesystem;

constexpr int kRunsToTakeBack = 5;  // that changed something
/// A step of more than this (an import of a whole season) can't be taken back; it would double the file.
constexpr int kMostToTakeBack = 64'000'000;  // bytes
constexpr const char* kTracked[] = {"lots", "sowings", "trays", "photos", "censuses", "checks", "decisions"};

void make_folder_of(const fs::path& file) {
  std::error_code trouble;
  const fs::path folder = fs::absolute(file).parent_path();
  fs::create_directories(folder, trouble);
  if (trouble)
    throw LedgerTrouble(
        fmt::format("the ledger {}: its folder cannot be made ({}); choose another with --ledger",
                    file.string(), trouble.message()));
}

Database in_memory_copy(const Database& from) {
  Database copy(kInMemory, Access::write);
  sqlite3_backup* backup = sqlite3_backup_init(copy.handle(), "main", from.handle(), "main");
  const int code = backup ? sqlite3_backup_step(backup, -1) : SQLITE_NOMEM;
  sqlite3_backup_finish(backup);
  if (code != SQLITE_DONE) throw_trouble(code, "copying", from.file());
  return copy;
}

Database opened_to_read(const fs::path& file) {
  std::error_code unused;
  if (!fs::exists(file, unused)) {
    Database empty(kInMemory, Access::write);
    migrate(empty);
    return empty;
  }
  Database kept(file, Access::read);
  if (version_of(kept) == newest_version()) return kept;
  Database copy = in_memory_copy(kept);
  migrate(copy);
  return copy;
}

/// Readers never wait for writers then, and a commit is one write. SQLite does not wait for others by itself
/// here, so two programs that make the ledger at once take turns.
void write_ahead(const Database& file) {
  constexpr int tries = 200;
  constexpr std::chrono::milliseconds pause(25);
  for (int left = tries;; --left) {
    const int code = sqlite3_exec(file.handle(), "PRAGMA journal_mode = WAL", nullptr, nullptr, nullptr);
    if (code == SQLITE_OK) break;
    if ((code & 0xff) != SQLITE_BUSY || left == 0)
      throw_trouble(code, sqlite3_errmsg(file.handle()), file.file());
    std::this_thread::sleep_for(pause);
  }
  file.run("PRAGMA synchronous = FULL");
}

Database opened_to_write(const fs::path& file) {
  make_folder_of(file);
  Database kept(file, Access::write);
  if (version_of(kept) == 0) kept.run("PRAGMA page_size = 16384");  // a census a page would waste a third
  write_ahead(kept);
  migrate(kept);
  return kept;
}

std::string random_name() {
  std::random_device random;
  return fmt::format("{:08x}{:08x}", random(), random());
}

using Session = std::unique_ptr<sqlite3_session, void (*)(sqlite3_session*)>;

Session watched(const Database& file) {
  sqlite3_session* session = nullptr;
  const int code = sqlite3session_create(file.handle(), "main", &session);
  if (code != SQLITE_OK) throw_trouble(code, "watching", file.file());
  for (const char* table : kTracked) sqlite3session_attach(session, table);
  return {session, &sqlite3session_delete};
}

/// What would take the watched changes back.
Bytes inverse_of(const Session& session, const Database& file) {
  int size = 0, inverse_size = 0;
  void *changes = nullptr, *inverse = nullptr;
  int code = sqlite3session_changeset(session.get(), &size, &changes);
  if (code == SQLITE_OK) code = sqlite3changeset_invert(size, changes, &inverse_size, &inverse);
  Bytes bytes(static_cast<const char*>(inverse), static_cast<std::size_t>(inverse_size));
  sqlite3_free(changes);
  sqlite3_free(inverse);
  if (code != SQLITE_OK) throw_trouble(code, "keeping what takes the step back", file.file());
  return bytes;
}

/// A row to delete that a foreign key has already taken along, or blanked a field of, is no conflict.
int on_conflict(void*, int conflict, sqlite3_changeset_iter* change) {
  const char* table = nullptr;
  int columns = 0, operation = 0, indirect = 0;
  sqlite3changeset_op(change, &table, &columns, &operation, &indirect);
  if (conflict == SQLITE_CHANGESET_NOTFOUND) return SQLITE_CHANGESET_OMIT;
  const bool blanked = conflict == SQLITE_CHANGESET_DATA && operation == SQLITE_DELETE;
  return blanked ? SQLITE_CHANGESET_REPLACE : SQLITE_CHANGESET_ABORT;
}

void take_back(const Database& file, Bytes inverse) {
  const int code = sqlite3changeset_apply(file.handle(), static_cast<int>(inverse.size()), inverse.data(),
                                          nullptr, on_conflict, nullptr);
  if (code != SQLITE_OK)
    throw LedgerTrouble("the ledger " + file.file().string() +
                        ": the last step cannot be taken back, since other changes stand on it");
}

}  // namespace

Ledger::Ledger(const fs::path& file, Access access)
    : file_(access == Access::write ? opened_to_write(file) : opened_to_read(file)),
      access_(access),
      run_(random_name()) {}

void Ledger::step(const std::string& words, const std::function<void()>& work) {
  file_.transaction([&] {
    Bytes inverse;
    {
      const Session session = watched(file_);
      work();
      inverse = inverse_of(session, file_);
    }
    // A run that changed nothing is one, too: else undo after it would take back the one before.
    if (inverse.empty() && !fresh_run_) return;
    if (fresh_run_ && !inverse.empty())
      file_
          .prepare(
              "DELETE FROM steps WHERE id < (SELECT min(first) FROM (SELECT min(id) AS first FROM steps "
              "WHERE length(inverse) > 0 GROUP BY run ORDER BY max(id) DESC LIMIT ?))")
          .bind(kRunsToTakeBack - 1)
          .run();
    const bool too_large = inverse.size() > kMostToTakeBack;
    if (too_large) file_.run("DELETE FROM steps");  // what came before can't be taken back on its own either
    if (!too_large)
      file_.prepare("INSERT INTO steps (run, words, inverse) VALUES (?, ?, ?)")
          .bind(run_, words, BlobView{inverse})
          .run();
  });
  fresh_run_ = false;
}

std::vector<std::string> Ledger::undo() {
  std::vector<std::string> undone;
  file_.transaction([&] {
    Statement last = file_.prepare(
        "SELECT id, words, inverse FROM steps WHERE id > (SELECT ifnull(max(id), 0) FROM steps WHERE run <> "
        "(SELECT run FROM steps ORDER BY id DESC LIMIT 1)) ORDER BY id DESC");
    Statement forget = file_.prepare("DELETE FROM steps WHERE id = ?");
    while (last.next()) {
      const Bytes inverse = last.bytes(2);
      if (!inverse.empty()) take_back(file_, inverse);
      undone.push_back(last.text(1) + (inverse.empty() ? ", which had changed nothing" : ""));
      forget.bind(last.whole(0)).run();
    }
  });
  return undone;
}

}  // namespace braird::ledger
