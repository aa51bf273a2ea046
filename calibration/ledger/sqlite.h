// SPDX-License-Identifier: Apache-2.0
// A thin door to SQLite: a file, statements on it, and its troubles as sentences for the user.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>

struct sqlite3;
struct sqlite3_stmt;

namespace braird::ledger {

/// What the ledger's file could not do, in one sentence that names the file and the remedy.
struct LedgerTrouble : std::runtime_error {
  using std::runtime_error::runtime_error;
};

using Bytes = std::string;  ///< raw bytes

/// Marks bytes that are no text, where they are bound.
struct BlobView {
  const Bytes& bytes;
};

/// One statement. Parameters count from 1, columns from 0.
class Statement {
 public:
  template <typename... Values>
  Statement& bind(const Values&... values) {
    reset();
    int place = 0;
    (put(++place, values), ...);
    return *this;
  }

  bool next();  ///< true: a row is there; false: done
  void run();   ///< to the end, rows thrown away

  bool is_null(int column) const;
  std::int64_t whole(int column) const;
  double number(int column) const;
  std::string text(int column) const;
  Bytes bytes(int column) const;
  std::optional<std::int64_t> maybe_whole(int column) const;
  std::optional<double> maybe_number(int column) const;
  std::optional<std::string> maybe_text(int column) const;

 private:
  friend class Database;
  Statement(sqlite3_stmt* handle, const std::filesystem::path& file);
  void reset();
  void put(int place, std::int64_t value);
  void put(int place, int value) { put(place, std::int64_t{value}); }
  void put(int place, double value);
  void put(int place, const char* value) { put(place, std::string(value)); }
  void put(int place, const std::string& value);
  void put(int place, std::nullptr_t);
  template <typename Value>
  void put(int place, const std::optional<Value>& value) {
    if (value)
      put(place, *value);
    else
      put(place, nullptr);
  }
  void put(int place, const BlobView& value);

  std::unique_ptr<sqlite3_stmt, int (*)(sqlite3_stmt*)> handle_;
  std::filesystem::path file_;
};

enum class Access { read, write };

/// The name of a database that is no file and goes when closed.
inline constexpr const char* kInMemory = ":memory:";

class Database {
 public:
  /// Throws LedgerTrouble. `write` makes the file if it is missing (not its folder).
  Database(const std::filesystem::path& file, Access access);

  Statement prepare(std::string_view sql) const;
  void run(const std::string& sql) const;           ///< any number of statements
  std::int64_t single(std::string_view sql) const;  ///< the first number of the first row; 0 if there is none
  std::int64_t last_id() const;
  sqlite3* handle() const { return handle_.get(); }
  const std::filesystem::path& file() const { return file_; }

  /// All or nothing: commits when `work` returns, takes everything back when it throws. Waits for other
  /// writers.
  void transaction(const std::function<void()>& work) const;

 private:
  std::filesystem::path file_;
  std::unique_ptr<sqlite3, int (*)(sqlite3*)> handle_;
};

/// Turns SQLite's code into a sentence and throws it.
[[noreturn]] void throw_trouble(int code, const std::string& words, const std::filesystem::path& file);

}  // namespace braird::ledger
