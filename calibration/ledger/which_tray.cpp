// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/which_tray.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "calibration/ledger/rows.h"
#include "calibration/same_tray.h"

namespace braird::ledger {
namespace {

constexpr int kTraysToCompare = 200;  // the latest of a sowing; comparing takes some 50 µs each

struct Earlier {
  std::int64_t tray = 0;
  KeptCensus census;
  bool labelled = false;
};

/// The latest census of each tray that `where` names, but none of this photo.
std::vector<Earlier> latest_censuses(const Database& file, const std::string& where, std::int64_t id,
                                     std::int64_t photo) {
  Statement rows = file.prepare(fmt::format(
      "SELECT {}, censuses.tray, by_label FROM {} WHERE {} = ?1 AND censuses.photo <> ?2 AND censuses.id = "
      "(SELECT max(id) FROM censuses AS later WHERE later.tray = censuses.tray AND later.photo <> ?2) "
      "ORDER BY censuses.id DESC LIMIT {}",
      kCensusColumns, kCensusTables, where, kTraysToCompare));
  rows.bind(id, photo);
  std::vector<Earlier> found;
  while (rows.next()) found.push_back({rows.whole(15), census_of_row(rows, file), rows.whole(16) == 1});
  return found;
}

std::optional<std::int64_t> tray_of_tag(const Database& file, const std::string& tag, const Layout& layout) {
  Statement known = file.prepare(
      "SELECT trays.id, rows, cols, staggered FROM trays JOIN sowings ON sowings.id = sowing WHERE tag = ?");
  known.bind(tag);
  if (!known.next()) return std::nullopt;
  if (known.whole(1) != layout.rows || known.whole(2) != layout.cols ||
      (known.whole(3) == 1) != (layout.lattice == LatticeKind::staggered))
    throw std::invalid_argument(fmt::format(
        "the tray of tag {} has {} x {} cells, but this photo shows {} x {}; check the tag, or tell --tray",
        tag, known.whole(1), known.whole(2), layout.rows, layout.cols));
  return known.whole(0);
}

Place into_numbering_of(const Earlier& earlier, const Tray& census, const std::string& tag, bool as_before) {
  if (as_before || (census.label && earlier.labelled)) return {earlier.tray, census, false};
  switch (way_round(earlier.census.tray, census)) {
    case SameTray::same:
      return {earlier.tray, census, false};
    case SameTray::turned:
      return {earlier.tray, half_turned(census), true};
    case SameTray::unsure:
      break;
  }
  throw std::invalid_argument(fmt::format(
      "it is not clear which way round tray {} lies here, since the plants of this photo and of {} do not "
      "tell; photograph it with its label in view, or say --as-before if it was not turned",
      tag, earlier.census.file));
}

}  // namespace

Place place_of_tagged(const Database& file, const std::string& tag, std::int64_t sowing, std::int64_t photo,
                      const Tray& census, bool as_before) {
  const auto tray = tray_of_tag(file, tag, census.layout);
  if (!tray) return {new_tray(file, sowing, tag), census, false};
  file.prepare("UPDATE trays SET sowing = ?1 WHERE id = ?2 AND sowing <> ?1").bind(sowing, *tray).run();
  const auto earlier = latest_censuses(file, "censuses.tray", *tray, photo);
  if (earlier.empty()) return {*tray, census, false};
  return into_numbering_of(earlier[0], census, tag, as_before);
}

Place place_of_untagged(const Database& file, std::int64_t sowing, std::int64_t photo, const Tray& census,
                        std::span<const std::int64_t> taken) {
  const Earlier* best = nullptr;
  TrayMatch best_match;
  const auto earlier = latest_censuses(file, "trays.sowing", sowing, photo);
  for (const Earlier& candidate : earlier) {
    if (std::ranges::count(taken, candidate.tray) > 0) continue;
    const TrayMatch match = match_trays(candidate.census.tray, census);
    if (match.verdict == SameTray::unsure) continue;
    if (best && std::max(match.upright, match.turned) <= std::max(best_match.upright, best_match.turned))
      continue;
    best = &candidate;
    best_match = match;
  }
  if (!best) return {new_tray(file, sowing, std::nullopt), census, false};
  const bool turned = best_match.verdict == SameTray::turned;
  return {best->tray, turned ? half_turned(census) : census, turned};
}

}  // namespace braird::ledger
