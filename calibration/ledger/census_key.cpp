// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/census_key.h"

#include <fmt/format.h>

#include <sstream>
#include <stdexcept>

#include "calibration/hex.h"
#include "calibration/ledger/rows.h"

namespace braird::ledger {
std::string census_key(const Ledger& ledger, const KeptCensus& census) {
  const int number = place_in_photo(ledger, census.id).number;
  return number == 1 ? hex_of(census.hash) : fmt::format("{}-{}", hex_of(census.hash), number);
}

FoundCensus census_of_key(const Ledger& ledger, const std::string& key) {
  Statement row = ledger.file().prepare(
      fmt::format("SELECT lots.name, censuses.id FROM {} WHERE ?1 = lower(hex(photos.hash)) || "
                  "iif(number = 0, '', '-' || (number + 1))",
                  kCensusTables));
  row.bind(key);
  if (key.size() < 2 * kHashBytes || !row.next())
    throw std::invalid_argument(
        fmt::format("the ledger knows no counted photo {}; the counts were made for another ledger", key));
  const KeptLot lot = read_lot(ledger, row.text(0));
  for (const KeptSowing& sowing : lot.sowings)
    for (const KeptTray& tray : sowing.trays)
      for (const KeptCensus& census : tray.censuses)
        if (census.id == row.whole(1))
          return {lot.facts.name, tray.tag, census, place_in_photo(ledger, census.id)};
  throw std::logic_error("a census without its lot");
}

PhotoNotes notes_of_photo(const Ledger& ledger, const Bytes& hash) {
  Statement row = ledger.file().prepare("SELECT width, height, remarks FROM photos WHERE hash = ?");
  row.bind(BlobView{hash});
  PhotoNotes notes;
  if (!row.next()) return notes;
  notes.width = static_cast<int>(row.whole(0)), notes.height = static_cast<int>(row.whole(1));
  std::istringstream lines(row.text(2));
  for (std::string line; std::getline(lines, line);) notes.remarks.push_back(line);
  return notes;
}

bool knows_photo(const Ledger& ledger, const Bytes& hash) {
  Statement row = ledger.file().prepare("SELECT 1 FROM photos WHERE hash = ?");
  row.bind(BlobView{hash});
  return row.next();
}

}  // namespace braird::ledger
