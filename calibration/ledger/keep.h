// SPDX-License-Identifier: Apache-2.0
// Writing a counted photo into the ledger.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "calibration/ledger/ledger.h"
#include "calibration/ledger/records.h"
#include "calibration/same_tray.h"

namespace braird::ledger {

/// The same bytes give the same hash: kHashBytes (XXH3, 128 bits). Throws std::runtime_error if the file cannot
/// be read.
Bytes content_hash(const std::filesystem::path& file);

/// Looks at an earlier photo of some tray and at the one being kept: what else speaks for `census`, one of
/// its trays, being the same. Nothing where the photos can't tell, or aren't at hand.
using Comparison = std::function<std::optional<MoreEvidence>(const KeptCensus& earlier, const Tray& census)>;

/// What is known besides the census; a tray's label goes before it.
struct Told {
  std::optional<std::string> lot, sown_on, tag;
  bool as_before = false;  ///< the tagged tray lies the same way round as in its earlier photos
  Comparison compare{};    ///< asked where the plants' places don't tell
};

struct KeptAs {
  std::string lot;
  std::optional<std::string> tag;
  std::size_t photos_of_tray = 1;  ///< this one included
  bool turned = false;             ///< the photo shows the tray the other way round than its first one
  std::optional<Layout> across{};  ///< as it is numbered, where the photo's rows are the ledger's columns
};

struct Keeping {
  bool known_photo = false;          ///< it stood in the ledger already and was corrected
  std::vector<KeptAs> trays;         ///< one a tray of the census
  std::vector<std::string> remarks;  ///< what is told otherwise than the ledger has it, or may be; clauses
};

/// Puts a photo's census into the ledger, as one step. A photo that is known by its hash takes the place of
/// its former self: what is not told again of its tag, lot, crop, sowing and day stays as it was; hand checks
/// stay with their cells, as long as those lie there in the photo.
///
/// Which tray is it? The one of that tag, which the untagged tray becomes that its first photo shows; else,
/// among the trays of the same sowing, the one it stood in, or whose plants stand in the same places
/// (same_tray.h), or that `told.compare` says it is; else a new one. Lot: as the label or `told` says, else
/// the crop's name, else "unnamed". Cells are kept in the numbering of the tray's first photo; a photo without
/// label, of a square tray whose tag, sowing or lot stands in the ledger with rows for columns, is numbered so.
///
/// Throws std::invalid_argument with one sentence, and keeps nothing, if a tagged tray is photographed
/// without its label and neither plants nor comparison tell which way round it lies, or if the tag belongs to
/// a tray of another shape, or of an earlier sowing.
Keeping keep(Ledger& ledger, const Bytes& hash, const Census& census, const Told& told);

/// What the ledger knows of the tray of that tag; nothing if it knows no such tray.
std::optional<TrayLabel> known_tray(const Ledger& ledger, const std::string& tag);

/// What the ledger knows of a photo: its day, and each tray as known_tray does; the lot where its name was
/// not made up. All empty if it knows no photo of that content.
struct KnownPhoto {
  std::optional<std::string> taken;
  std::vector<TrayLabel> trays;
};
KnownPhoto known_photo(const Ledger& ledger, const Bytes& hash);

/// Nothing if it knows no such lot, or not what it is.
std::optional<std::string> crop_of_lot(const Ledger& ledger, const std::string& lot);

}  // namespace braird::ledger
