// SPDX-License-Identifier: Apache-2.0
// A ledger of 100,000 censuses: how fast and how large. Sanitized builds take a thirtieth, and are not timed.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <ctime>
#include <functional>

#include "calibration/ledger/keep.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/ledger/packing.h"
#include "tests/ledger/made_trays.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

namespace {

#ifdef BRAIRD_SANITIZED
constexpr int kCensuses = 3'000;
constexpr bool kTimed = false;
#else
constexpr int kCensuses = 100'000;
constexpr bool kTimed = true;
#endif
constexpr int kLots = 400, kTraysASowing = 50;

/// Wall time is what a grower waits; processor time is what a busy machine does not stretch.
struct Took {
  double wall = 0, processor = 0;
};

Took time_of(const std::function<void()>& work) {
  const auto start = std::chrono::steady_clock::now();
  const std::clock_t ticks = std::clock();
  work();
  return {std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(),
          static_cast<double>(std::clock() - ticks) / CLOCKS_PER_SEC};
}

std::string words(const Took& took) {
  return fmt::format("{:.0f} ms ({:.0f} ms of processor time)", 1000 * took.wall, 1000 * took.processor);
}

struct Packed {
  Bytes counts, places, plants, corners;
};

std::vector<Packed> packed_trays() {
  std::mt19937 random(1);
  std::vector<Packed> packed;
  for (int at = 0; at < 40; ++at) {
    Growing how;
    how.layout = {22, 12, LatticeKind::staggered};
    const Tray tray = seen_on(grown(how, random), 8, {}, random);
    packed.push_back({pack_counts(tray.cells), pack_places(tray.cells, 12), pack_plants(tray.cells),
                      pack_corners(tray.corners_px)});
  }
  return packed;
}

/// As `keep` would have written them, one by one; the bytes that hold counts and chances.
std::int64_t fill(const Database& file) {
  const std::vector<Packed> trays = packed_trays();
  std::int64_t counts = 0;
  file.transaction([&] {
    for (int lot = 0; lot < kLots; ++lot)
      file.prepare("INSERT INTO lots (name, crop) VALUES (?, 'kale')").bind(fmt::format("Lot {}", lot)).run();
    Statement sowing = file.prepare(
                  "INSERT INTO sowings (lot, sown_on, rows, cols, staggered, seeds_per_cell) VALUES (?, ?, "
                  "22, 12, 1, 1)"),
              tray = file.prepare("INSERT INTO trays (sowing) VALUES (?)"),
              photo = file.prepare(
                  "INSERT INTO photos (hash, file, width, height, taken) VALUES (?, ?, 4000, 3000, ?)"),
              census = file.prepare(
                  "INSERT INTO censuses (photo, number, tray, by_label, corners, pitch_px, fit, counts, "
                  "places, plants) VALUES (?, 0, ?, 0, ?, 83.1, 0.98, ?, ?, ?)");
    for (int at = 0; at < kCensuses; ++at) {
      const Packed& packed = trays[static_cast<std::size_t>(at) % trays.size()];
      const int batch = at / kTraysASowing;
      if (at % kTraysASowing == 0)
        sowing
            .bind(batch % kLots + 1, fmt::format("2026-{:02}-{:02}", batch / kLots % 12 + 1, batch % 28 + 1))
            .run();
      tray.bind(batch + 1).run();
      photo
          .bind(BlobView{hash_of(std::to_string(at))}, fmt::format("/home/grower/trays/IMG_{:05}.jpg", at),
                std::string("2026-04-09T09:12:44"))
          .run();
      census
          .bind(at + 1, at + 1, BlobView{packed.corners}, BlobView{packed.counts}, BlobView{packed.places},
                BlobView{packed.plants})
          .run();
      counts += std::ssize(packed.counts);
    }
  });
  return counts;
}

}  // namespace

TEST_CASE("a hundred thousand censuses stay quick and small") {
  const LedgerFolder folder;
  std::int64_t counts = 0;
  {
    const Ledger ledger(folder.file(), Access::write);
    counts = fill(ledger.file());
    ledger.file().run("PRAGMA wal_checkpoint(TRUNCATE)");
  }
  const auto size = static_cast<double>(std::filesystem::file_size(folder.file()));
  const double beyond = (size - static_cast<double>(counts)) / kCensuses;
  MESSAGE("bytes a census of 264 cells: ", size / kCensuses,
          ", of these beyond counts and chances: ", beyond);
  CHECK(beyond <= 1024);
  const auto all_lots = [&] {
    Ledger ledger(folder.file(), Access::write);
    CHECK(season(ledger, {}).size() == kLots);
  };
  MESSAGE("lots, the first time after filling: ", words(time_of(all_lots)));
  const Took again = time_of(all_lots);
  std::mt19937 random(9);
  Growing how;
  how.layout = {22, 12, LatticeKind::staggered};
  Took kept;
  constexpr int keeps = 20;
  for (int at = 0; at < keeps; ++at) {
    const Tray tray = seen_on(grown(how, random), 8, {}, random);
    const Took one = time_of([&] {
      Ledger ledger(folder.file(), Access::write);
      keep(ledger, hash_of(fmt::format("new {}", at)), census_of({tray}, "new.jpg"),
           {"Lot 7", "2026-01-08", {}, {}});
    });
    kept = {kept.wall + one.wall / keeps, kept.processor + one.processor / keeps};
  }
  const auto lots_after_a_keep = [&](int at) {
    Ledger ledger(folder.file(), Access::write);
    keep(ledger, hash_of(fmt::format("newest {}", at)),
         census_of({seen_on(grown(how, random), 8, {}, random)}, "newest.jpg"),
         {fmt::format("Lot {}", 10 + at), "2026-01-08", {}, {}});
    return time_of(all_lots);
  };
  Took after = lots_after_a_keep(0);  // the least of five: what else the machine does only adds
  for (int at = 1; at < 5; ++at)
    after = std::min(after, lots_after_a_keep(at),
                     [](const Took& one, const Took& other) { return one.processor < other.processor; });
  MESSAGE("lots: ", words(again), "; one keep: ", words(kept), "; lots after a keep: ", words(after));
  if (!kTimed) return;
  CHECK(again.processor <= 0.3);
  CHECK(after.processor <= 0.3);
  CHECK(kept.processor <= 0.020);
}
