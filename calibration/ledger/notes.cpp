// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/notes.h"

#include <fmt/format.h>

#include <stdexcept>

#include "calibration/figure_words.h"
#include "calibration/ledger/rows.h"
#include "calibration/limits.h"
#include "calibration/require.h"

namespace braird::ledger {
namespace {

/// Without letters that are mistaken for digits or for each other.
constexpr std::string_view kLetters = "ABCDEFHJKLMNPRTUVWXY";
constexpr std::int64_t kNumbersALetter = 99;

std::optional<std::int64_t> sowing_of_day(const Database& file, std::int64_t lot,
                                          const std::optional<std::string>& day) {
  if (!day) return std::nullopt;
  Statement row = file.prepare("SELECT id FROM sowings WHERE lot = ? AND sown_on = ? ORDER BY id");
  row.bind(lot, *day);
  if (!row.next())
    throw std::invalid_argument(fmt::format("the ledger knows no sowing of this lot on {}", *day));
  return row.whole(0);
}

std::optional<std::int64_t> tray_of(const Database& file, const std::optional<std::string>& tag) {
  if (!tag) return std::nullopt;
  const auto tray = tray_tagged(file, *tag);
  if (!tray) throw std::invalid_argument(fmt::format("the ledger knows no tray of tag {}", *tag));
  return tray->at.tray;
}

/// The n-th tag, from 0: A1 … A99, B1 …, then AA1 and so on.
std::string tag_number(std::int64_t n) {
  const auto letters = static_cast<std::int64_t>(kLetters.size());
  std::string word;
  for (std::int64_t block = n / kNumbersALetter; block >= 0; block = block / letters - 1)
    word.insert(word.begin(), kLetters[static_cast<std::size_t>(block % letters)]);
  return word + std::to_string(n % kNumbersALetter + 1);
}

/// The lot's sowings of that day.
void put_sowings(const Database& file, std::int64_t lot, const SowingFacts& facts) {
  sowing_of_day(file, lot, facts.sown_on);
  Statement rows = file.prepare("SELECT id FROM sowings WHERE lot = ? AND sown_on = ?");
  rows.bind(lot, facts.sown_on);
  while (rows.next()) put_sowing_facts(file, rows.whole(0), facts);
}

void put_decision(const Database& file, std::int64_t lot, const Decision& decision) {
  file.prepare("INSERT INTO decisions (lot, sowing, tray, decided_on, words) VALUES (?, ?, ?, ?, ?)")
      .bind(lot, sowing_of_day(file, lot, decision.sown_on), tray_of(file, decision.tag), decision.decided_on,
            decision.words)
      .run();
}

}  // namespace

void require_possible(const std::optional<double>& stated_percent,
                      const std::optional<double>& temperature_c) {
  if (stated_percent)
    require(can_be_stated(*stated_percent), "the stated germination", *stated_percent, kOfStated);
  if (temperature_c) require(can_be_medium(*temperature_c), "the temperature", *temperature_c, kOfMedium);
}

bool take_note(Ledger& ledger, const Note& note) {
  const LotFacts& facts = note.lot;
  require_possible(facts.stated_percent, note.sowing ? note.sowing->temperature_c : std::nullopt);
  bool fresh = false;
  ledger.step("noted lot " + facts.name, [&] {
    const Database& file = ledger.file();
    fresh = !known_lot(file, facts.name);
    const std::int64_t lot = lot_row(file, facts.name, facts.crop);
    put_lot_facts(file, lot, facts);
    if (note.sowing) put_sowings(file, lot, *note.sowing);
    if (note.decision) put_decision(file, lot, *note.decision);
  });
  return fresh;
}

void note_checks(Ledger& ledger, const KeptCensus& census, const std::vector<HandCheck>& checks) {
  const Layout& layout = census.tray.layout;
  for (const HandCheck& check : checks) {
    if (check.cell < 0 || check.cell >= layout.rows * layout.cols)
      throw std::invalid_argument(
          fmt::format("a checked cell lies outside the tray of {} x {} cells", layout.rows, layout.cols));
    if (check.seedlings < 0 || check.seedlings > kMostSeedlings)
      throw std::invalid_argument(
          fmt::format("a hand count is {}, but must be from 0 to {}", check.seedlings, kMostSeedlings));
  }
  ledger.step(
      fmt::format("noted {} of {}", counted(static_cast<double>(checks.size()), "hand count", "hand counts"),
                  census.file),
      [&] {
        Statement put = ledger.file().prepare(
            "INSERT INTO checks (census, cell, seedlings, drawn) VALUES (?, ?, ?, ?) ON CONFLICT DO UPDATE "
            "SET "
            "seedlings = "
            "excluded.seedlings, drawn = max(drawn, excluded.drawn)");
        for (const HandCheck& check : checks)
          put.bind(census.id, check.cell, check.seedlings, check.drawn ? 1 : 0).run();
      });
}

std::vector<std::string> new_tagged_trays(Ledger& ledger, const std::string& lot,
                                          const std::optional<std::string>& crop, const SowingFacts& sowing,
                                          int many, const UseTags& use) {
  std::vector<std::string> tags;
  ledger.step(fmt::format("made {} labels for lot {}", many, lot), [&] {
    const Database& file = ledger.file();
    const std::int64_t row = sowing_row(file, lot_row(file, lot, crop), sowing);
    for (std::int64_t n = file.single("SELECT count(*) FROM trays WHERE tag IS NOT NULL");
         std::ssize(tags) < many; ++n) {
      if (tray_tagged(file, tag_number(n))) continue;
      tags.push_back(tag_number(n));
      new_tray(file, row, tags.back());
    }
    use(tags);
  });
  return tags;
}

}  // namespace braird::ledger
