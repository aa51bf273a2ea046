// SPDX-License-Identifier: Apache-2.0
// A ledger whose file is damaged: is it said, and is the file left alone?
#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <random>
#include <string>

#include "tests/ledger/numbered_censuses.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

TEST_CASE("a damaged ledger gets one sentence and is left as it is") {
  const LedgerFolder folder;
  {
    Ledger ledger(folder.file(), Access::write);
    for (unsigned number = 1; number <= 20; ++number) keep_number(ledger, number);
  }
  const std::string whole = content_of(folder.file());
  std::mt19937 random(23);
  int noticed = 0;
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    std::string bent = whole;
    if (round % 3 == 0)
      bent.resize(random() % whole.size());
    else
      for (int hit = 0; hit < (round % 3 == 1 ? 1 : 2000); ++hit)
        bent[random() % bent.size()] = static_cast<char>(random());
    std::filesystem::remove(folder.file().string() + "-wal");
    std::filesystem::remove(folder.file().string() + "-shm");
    std::ofstream(folder.file(), std::ios::binary) << bent;
    try {
      const Ledger ledger(folder.file(), Access::read);
      for (const char* table : {"lots", "sowings", "trays", "photos", "censuses", "steps"})
        ledger.file().single(std::string("SELECT count(*), max(hex(") +
                             (std::string(table) == "censuses" ? "counts" : "id") + ")) FROM " + table);
    } catch (const LedgerTrouble&) {
      ++noticed;
    }
    CHECK(content_of(folder.file()) == bent);
  }
  CHECK(noticed > 15);  // a bit that fell in unused space harms nothing
}
