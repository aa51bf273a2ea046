// SPDX-License-Identifier: Apache-2.0
// Rows of the ledger found, made and cleared away. All of these expect to run inside a step.
#pragma once

#include "calibration/ledger/ledger.h"
#include "calibration/ledger/records.h"

namespace braird::ledger {

/// Where something stood.
struct Standing {
  std::int64_t tray = 0, sowing = 0, lot = 0;
};

struct KnownLot {
  std::int64_t id = 0;
  std::string name;  ///< as the ledger spells it
  std::optional<std::string> crop;
};

/// The lot of that name, in whichever case it is told; the first spelling stands.
std::optional<KnownLot> known_lot(const Database& file, const std::string& name);

/// The lot's row, made if missing; a crop is filled in where none is known. Throws like lot_name.
std::int64_t lot_row(const Database& file, const std::string& told, const std::optional<std::string>& crop);

/// The sowing's row, made if missing. Lot, day, shape and seeds tell sowings apart.
std::int64_t sowing_row(const Database& file, std::int64_t lot, const SowingFacts& facts);

std::int64_t new_tray(const Database& file, std::int64_t sowing, const std::optional<std::string>& tag);

struct TaggedTray {
  std::string tag;  ///< as the ledger spells it
  Standing at;
  Layout layout;
};

/// The tray of that tag, in whichever case it is told; the first spelling stands.
std::optional<TaggedTray> tray_tagged(const Database& file, const std::string& tag);

/// Does a tray that stands there have the shape of that sowing's?
bool fits(const Database& file, const Standing& at, std::int64_t sowing);

void move_tray(const Database& file, std::int64_t tray, std::int64_t sowing);

/// Fill in what is told; fields without a value stay as they are.
void put_lot_facts(const Database& file, std::int64_t lot, const LotFacts& facts);
void put_sowing_facts(const Database& file, std::int64_t sowing, const SowingFacts& facts);

/// The photo's row, made if missing, else corrected; a time that isn't told stays as it is.
std::int64_t photo_row(const Database& file, const Bytes& hash, const PhotoFacts& photo,
                       const std::string& remarks);

/// Removes what is left empty there: a tray without tag and photo, a sowing without tray, facts or decision,
/// a lot without all of these. A sowing that `sowing_now` of the same lot took the last tray from hands its
/// facts and decisions on to it first.
void clear_leftovers(const Database& file, const Standing& at, std::int64_t sowing_now = 0);

/// The columns of a census row, in the order of kCensusColumns. `counts` are those read again where a later
/// photo of the tray is there, else the first ones.
namespace census_column {
enum : int {
  id,
  file,
  hash,
  taken,
  rows,
  cols,
  staggered,
  crop,
  seeds,
  corners,
  pitch,
  fit,
  counts,
  places,
  plants,
  tray,
  photo,
  number,
  by_label,
  lot,
  tag,
  first_counts,
  counts_again,
  seeds_in_view
};
}  // namespace census_column
inline constexpr const char* kCensusColumns =
    "censuses.id, photos.file, photos.hash, photos.taken, sowings.rows, sowings.cols, sowings.staggered, "
    "lots.crop, sowings.seeds_per_cell, corners, pitch_px, fit, iif(counts_again IS NOT NULL AND EXISTS "
    "(SELECT 1 FROM censuses AS other JOIN photos AS later ON later.id = other.photo WHERE other.tray = "
    "censuses.tray AND later.taken > photos.taken), counts_again, counts), places, plants, "
    "censuses.tray, censuses.photo, number, by_label, lots.name, trays.tag, counts, counts_again, "
    "seeds_in_view";
inline constexpr const char* kCensusTables =
    "censuses JOIN photos ON photos.id = censuses.photo JOIN trays ON trays.id = censuses.tray "
    "JOIN sowings ON sowings.id = trays.sowing JOIN lots ON lots.id = sowings.lot";

/// Columns rows, cols, staggered, from column `first` on. Throws std::invalid_argument if they are no tray's.
Layout layout_of_row(const Statement& row, int first);

/// Of a row of kCensusColumns, without hand checks. Throws LedgerTrouble with one sentence if it is damaged.
KeptCensus census_of_row(const Statement& row, const Database& file);

/// Puts its hand counts into a census, by cell. Throws LedgerTrouble with one sentence if one is damaged.
void add_checks(const Database& file, KeptCensus& census);

}  // namespace braird::ledger
