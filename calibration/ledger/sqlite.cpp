// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/sqlite.h"

#include <fmt/format.h>
#include <sqlite3.h>

#include <cctype>

namespace braird::ledger {
namespace {

namespace fs = std::filesystem;

// Long enough for a queue of other writers, each of which takes some hundredths of a second.
constexpr int kPatienceMs = 20'000;

const char* clause_for(int code) {
  constexpr const char* no_room =
      "there is no room left on its disk; nothing was changed. Make room and try again";
  if (code == SQLITE_IOERR_SHMSIZE) return no_room;
  switch (code & 0xff) {
    case SQLITE_FULL:
      return no_room;
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_AUTH:
      return "it cannot be written; nothing was changed. Check the rights to the file and its folder, or "
             "choose another with --ledger";
    case SQLITE_CANTOPEN:
      return "it cannot be opened; check that its folder exists and is yours to write to, or choose another "
             "with --ledger";
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      return "it is damaged, or no ledger; it was left as it is. Bring back a copy, or import an export "
             "into a new ledger";
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return "another program is writing to it; try again";
    case SQLITE_IOERR:
      return "its disk failed to read or write; nothing was changed. Check the disk and try again";
    default:
      return nullptr;
  }
}

std::string uri_of(const fs::path& file) {
  if (file == kInMemory) return kInMemory;
  std::string uri = "file:";
  for (const char c : fs::absolute(file).string()) {
    const bool plain =
        std::isalnum(static_cast<unsigned char>(c)) || c == '/' || c == '.' || c == '-' || c == '_';
    uri += plain ? std::string(1, c) : fmt::format("%{:02x}", static_cast<unsigned char>(c));
  }
  return uri;
}

struct Opened {
  sqlite3* handle;
  int code;
};

Opened open_file(const std::string& uri, int flags) {
  Opened opened{nullptr, 0};
  opened.code = sqlite3_open_v2(uri.c_str(), &opened.handle, flags | SQLITE_OPEN_URI, nullptr);
  sqlite3_busy_timeout(opened.handle, kPatienceMs);
  sqlite3_extended_result_codes(opened.handle, 1);
  if (opened.code == SQLITE_OK)
    opened.code = sqlite3_exec(opened.handle, "SELECT 1 FROM sqlite_schema", nullptr, nullptr, nullptr);
  return opened;
}

// A ledger at rest (no log of writes beside it) can be read even where its folder allows no new file, or the
// disk has no room for the memory that programs share. An empty log may be this very look's; where that
// memory couldn't be made, no other program has the ledger open, and none can before there is room again.
bool is_at_rest(const fs::path& file, int code) {
  std::error_code none;
  const fs::path log = file.string() + "-wal";
  return fs::exists(file, none) &&
         (!fs::exists(log, none) || (code == SQLITE_IOERR_SHMSIZE && fs::file_size(log, none) == 0));
}

sqlite3* open_database(const fs::path& file, Access access) {
  std::error_code unused;
  if (fs::is_directory(file, unused))
    throw LedgerTrouble("the ledger " + file.string() + ": this is a folder; name a file in it");
  const std::string uri = uri_of(file);
  const bool reads = access == Access::read;
  Opened opened = open_file(uri, reads ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE);
  if (opened.code != SQLITE_OK && reads && (opened.code & 0xff) != SQLITE_NOTADB &&
      is_at_rest(file, opened.code)) {
    sqlite3_close_v2(opened.handle);
    opened = open_file(uri + "?immutable=1", SQLITE_OPEN_READONLY);
  }
  if (opened.code == SQLITE_OK) return opened.handle;
  const std::string words = sqlite3_errmsg(opened.handle);
  sqlite3_close_v2(opened.handle);
  throw_trouble(opened.code, words, file);
}

}  // namespace

void throw_trouble(int code, const std::string& words, const fs::path& file) {
  const char* clause = clause_for(code);
  throw LedgerTrouble(fmt::format("the ledger {}: {}", file.string(),
                                  clause ? std::string(clause) : "it refused a change (" + words + ")"));
}

Statement::Statement(sqlite3_stmt* handle, const fs::path& file)
    : handle_(handle, &sqlite3_finalize), file_(file) {}

void Statement::reset() {
  sqlite3_reset(handle_.get());
  sqlite3_clear_bindings(handle_.get());
}

bool Statement::next() {
  const int code = sqlite3_step(handle_.get());
  if (code == SQLITE_ROW) return true;
  if (code == SQLITE_DONE) return false;
  const std::string words = sqlite3_errmsg(sqlite3_db_handle(handle_.get()));
  sqlite3_reset(handle_.get());
  throw_trouble(code, words, file_);
}

void Statement::run() {
  while (next()) {
  }
}

void Statement::put(int place, std::int64_t value) {
  sqlite3_bind_int64(handle_.get(), place, value);
}
void Statement::put(int place, double value) {
  sqlite3_bind_double(handle_.get(), place, value);
}
void Statement::put(int place, std::nullptr_t) {
  sqlite3_bind_null(handle_.get(), place);
}
void Statement::put(int place, const std::string& value) {
  sqlite3_bind_text(handle_.get(), place, value.data(), static_cast<int>(value.size()), SQLITE_TRANSIENT);
}
void Statement::put(int place, const BlobView& value) {
  sqlite3_bind_blob(handle_.get(), place, value.bytes.data(), static_cast<int>(value.bytes.size()),
                    SQLITE_TRANSIENT);
}

bool Statement::is_null(int column) const {
  return sqlite3_column_type(handle_.get(), column) == SQLITE_NULL;
}
std::int64_t Statement::whole(int column) const {
  return sqlite3_column_int64(handle_.get(), column);
}
double Statement::number(int column) const {
  return sqlite3_column_double(handle_.get(), column);
}
std::string Statement::text(int column) const {
  const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(handle_.get(), column));
  return text ? std::string(text, static_cast<std::size_t>(sqlite3_column_bytes(handle_.get(), column))) : "";
}
Bytes Statement::bytes(int column) const {
  const auto* data = static_cast<const char*>(sqlite3_column_blob(handle_.get(), column));
  return data ? Bytes(data, static_cast<std::size_t>(sqlite3_column_bytes(handle_.get(), column))) : Bytes();
}
std::optional<std::int64_t> Statement::maybe_whole(int column) const {
  return is_null(column) ? std::nullopt : std::optional(whole(column));
}
std::optional<double> Statement::maybe_number(int column) const {
  return is_null(column) ? std::nullopt : std::optional(number(column));
}
std::optional<std::string> Statement::maybe_text(int column) const {
  return is_null(column) ? std::nullopt : std::optional(text(column));
}

Database::Database(const fs::path& file, Access access)
    : file_(file), handle_(open_database(file, access), &sqlite3_close_v2) {
  run("PRAGMA foreign_keys = ON");
}

Statement Database::prepare(std::string_view sql) const {
  sqlite3_stmt* statement = nullptr;
  const int code =
      sqlite3_prepare_v2(handle_.get(), sql.data(), static_cast<int>(sql.size()), &statement, nullptr);
  if (code != SQLITE_OK) throw_trouble(code, sqlite3_errmsg(handle_.get()), file_);
  return {statement, file_};
}

void Database::run(const std::string& sql) const {
  const int code = sqlite3_exec(handle_.get(), sql.c_str(), nullptr, nullptr, nullptr);
  if (code != SQLITE_OK) throw_trouble(code, sqlite3_errmsg(handle_.get()), file_);
}

std::int64_t Database::single(std::string_view sql) const {
  Statement asked = prepare(sql);
  return asked.next() ? asked.whole(0) : 0;
}

std::int64_t Database::last_id() const {
  return sqlite3_last_insert_rowid(handle_.get());
}

void Database::transaction(const std::function<void()>& work) const {
  run("BEGIN IMMEDIATE");
  try {
    work();
    run("COMMIT");
  } catch (...) {
    if (!sqlite3_get_autocommit(handle_.get()))
      sqlite3_exec(handle_.get(), "ROLLBACK", nullptr, nullptr, nullptr);
    throw;
  }
}

}  // namespace braird::ledger
