// SPDX-License-Identifier: Apache-2.0
// The ledger: one file that remembers lots, sowings, trays, counted photos, hand checks and decisions.
//
// Every change is a step: all of it lands or none, it is on the disk when the call returns, other programs
// may write at the same time (they wait for each other), and the steps of the last runs can be taken back.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "calibration/ledger/sqlite.h"

namespace braird::ledger {

class Ledger {
 public:
  /// Opens the ledger. To write, it is made if missing (with its folder; `kInMemory` is one that goes with
  /// it), and an older version is brought up to date first. To read, nothing is written: a missing file is an
  /// empty ledger, an older one is brought up to date in memory. Throws LedgerTrouble with one sentence if
  /// the file is damaged, another program's, newer than this program, or not accessible.
  Ledger(const std::filesystem::path& file, Access access);

  /// Does `work` as one step called `words` ("kept bench-3.jpg"). If it throws, nothing has changed.
  void step(const std::string& words, const std::function<void()>& work);

  /// Takes back the steps of the last run (the life of one writing Ledger), but none of before another run's
  /// last step, and says their words, latest first. Empty if there is none to take back.
  std::vector<std::string> undo();

  const Database& file() const { return file_; }
  Access access() const { return access_; }

 private:
  Database file_;
  Access access_;
  std::string run_;
  bool fresh_run_ = true;
};

}  // namespace braird::ledger
