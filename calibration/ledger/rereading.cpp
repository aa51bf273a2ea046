// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/rereading.h"

#include <fmt/format.h>

#include <exception>
#include <optional>

#include "calibration/ledger/keep.h"
#include "calibration/ledger/packing.h"
#include "calibration/ledger/rows.h"

namespace braird::ledger {
namespace {

constexpr const char* kUnchecked = "NOT EXISTS (SELECT 1 FROM checks WHERE census = censuses.id)";

std::optional<KeptCensus> latest_of(const Database& file, std::int64_t tray) {
  Statement rows = file.prepare(
      fmt::format("SELECT {} FROM {} WHERE censuses.tray = ? AND taken IS NOT NULL ORDER BY taken DESC, "
                  "censuses.id DESC LIMIT 1",
                  kCensusColumns, kCensusTables));
  rows.bind(tray);
  if (!rows.next()) return std::nullopt;
  return census_of_row(rows, file);
}

/// The unchecked ones that were taken before that day or time; only the photo `hash`, if it is told.
std::vector<KeptCensus> earlier_than(const Database& file, std::int64_t tray, const std::string& taken,
                                     const std::optional<Bytes>& hash) {
  Statement rows = file.prepare(
      fmt::format("SELECT {} FROM {} WHERE censuses.tray = ? AND taken < ? AND {}{} ORDER BY taken, "
                  "censuses.id",
                  kCensusColumns, kCensusTables, kUnchecked, hash ? " AND photos.hash = ?" : ""));
  if (hash)
    rows.bind(tray, taken, BlobView{*hash});
  else
    rows.bind(tray, taken);
  std::vector<KeptCensus> found;
  while (rows.next()) found.push_back(census_of_row(rows, file));
  return found;
}

Rereading rereading_of(const Database& file, std::int64_t tray, const Bytes& hash) {
  auto latest = latest_of(file, tray);
  if (!latest) return {};
  const bool is_new = latest->hash == hash;
  auto earlier = earlier_than(file, tray, *latest->taken, is_new ? std::nullopt : std::optional(hash));
  if (earlier.empty()) return {};
  return {std::move(earlier), std::move(*latest), is_new};
}

}  // namespace

std::vector<Rereading> to_read_again(const Ledger& ledger, const Bytes& hash) {
  const Database& file = ledger.file();
  Statement trays = file.prepare(
      "SELECT tray FROM censuses JOIN photos ON photos.id = photo WHERE hash = ? ORDER BY number");
  trays.bind(BlobView{hash});
  std::vector<Rereading> found;
  while (trays.next()) found.push_back(rereading_of(file, trays.whole(0), hash));
  return found;
}

bool still_stands(const KeptCensus& census) {
  try {
    return content_hash(census.file) == census.hash;
  } catch (const std::exception&) {  // it is gone, or can't be read
    return false;
  }
}

bool replace_counts(Ledger& ledger, const KeptCensus& one, const Tray& tray) {
  const Bytes counts = pack_counts(tray.cells);
  std::int64_t replaced = 0;
  ledger.step(fmt::format("read {} again", one.file), [&] {
    ledger.file()
        .prepare(fmt::format(
            "UPDATE censuses SET counts_again = ?1 WHERE id = ?2 AND {} AND ?3 = (SELECT rows * cols FROM "
            "trays JOIN sowings ON sowings.id = sowing WHERE trays.id = censuses.tray)",
            kUnchecked))
        .bind(BlobView{counts}, one.id, static_cast<std::int64_t>(tray.cells.size()))
        .run();
    replaced = ledger.file().single("SELECT changes()");
  });
  return replaced > 0;
}

}  // namespace braird::ledger
