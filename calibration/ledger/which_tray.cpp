// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/which_tray.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <stdexcept>

#include "calibration/ledger/rows.h"
#include "calibration/ledger/write_census.h"
#include "calibration/same_tray.h"

namespace braird::ledger {
namespace {

constexpr int kTraysToCompare = 200;         // the latest of a sowing; comparing takes some 50 µs each
constexpr std::size_t kPhotosToCompare = 5;  // of the trays that are likeliest by then; some 0.3 s each
constexpr double kNextToNothing = 4;         // nats that unlike trays often reach

struct Earlier {
  std::int64_t tray = 0;
  KeptCensus census;
  bool labelled = false;
};

/// The latest census of each tray that `where` names, but none of this photo.
std::vector<Earlier> latest_censuses(const Database& file, const std::string& where, std::int64_t id,
                                     std::int64_t photo) {
  Statement rows = file.prepare(fmt::format(
      "SELECT {} FROM {} WHERE {} = ?1 AND censuses.photo <> ?2 AND censuses.id = "
      "(SELECT max(id) FROM censuses AS later WHERE later.tray = censuses.tray AND later.photo <> ?2) "
      "ORDER BY censuses.id DESC LIMIT {}",
      kCensusColumns, kCensusTables, where, kTraysToCompare));
  rows.bind(id, photo);
  std::vector<Earlier> found;
  while (rows.next())
    found.push_back({rows.whole(census_column::tray), census_of_row(rows, file),
                     rows.whole(census_column::by_label) == 1});
  return found;
}

std::optional<std::int64_t> tray_of_tag(const Database& file, const std::string& tag, const Layout& layout) {
  const auto known = tray_tagged(file, tag);
  if (!known) return std::nullopt;
  if (known->layout != layout)
    throw std::invalid_argument(fmt::format(
        "the tray of tag {} has {} x {} cells, but this photo shows {} x {}; check the tag, or tell --tray",
        tag, known->layout.rows, known->layout.cols, layout.rows, layout.cols));
  return known->at.tray;
}

/// A photo of before the sowing shows another one: the tag was used again, and its former tray must stay.
void refuse_tray_of_before(const Database& file, std::int64_t tray, const std::string& tag,
                           const SeenTray& seen) {
  Statement before = file.prepare(
      "SELECT name, ifnull(old.sown_on, 'an unknown day'), new.sown_on FROM trays JOIN sowings AS old ON "
      "old.id = trays.sowing JOIN lots ON lots.id = old.lot JOIN sowings AS new ON new.id = ?2 WHERE "
      "trays.id "
      "= ?1 AND EXISTS (SELECT 1 FROM censuses JOIN photos ON photos.id = photo WHERE tray = ?1 AND photo <> "
      "?3 AND substr(taken, 1, 10) < new.sown_on)");
  before.bind(tray, seen.sowing, seen.photo);
  if (before.next())
    throw std::invalid_argument(fmt::format(
        "tag {} is that of a tray of lot {}, sown on {} and photographed before {}, when this one was sown; "
        "give this tray a tag of its own",
        tag, before.text(0), before.text(1), before.text(2)));
}

MoreEvidence asked(const SeenTray& seen, const KeptCensus& earlier) {
  return seen.compare ? seen.compare(earlier, seen.census).value_or(MoreEvidence{}) : MoreEvidence{};
}

Place into_numbering_of(const Earlier& earlier, const SeenTray& seen, const std::string& tag,
                        bool as_before) {
  const Tray &census = seen.census, &before = earlier.census.tray;
  if (as_before || (census.label && earlier.labelled)) return {earlier.tray, census, false};
  SameTray way = way_round(before, census);
  if (way == SameTray::unsure) way = way_round(before, census, asked(seen, earlier.census));
  if (way == SameTray::same) return {earlier.tray, census, false};
  if (way == SameTray::turned) return {earlier.tray, half_turned(census), true};
  throw std::invalid_argument(fmt::format(
      "it is not clear which way round tray {} lies here, since neither plants nor medium of this photo and "
      "of {} tell; photograph it with its label in view, or say --as-before if it was not turned",
      tag, earlier.census.file));
}

/// A tray that this one may be, and what speaks for it.
struct Candidate {
  const Earlier* earlier = nullptr;
  TrayMatch match;
};

double for_either(const TrayMatch& match) {
  return std::max(match.upright, match.turned);
}

/// The candidate with the most evidence of those whose verdict is sure.
std::optional<Candidate> surest(const std::vector<Candidate>& candidates) {
  std::optional<Candidate> best;
  for (const Candidate& candidate : candidates)
    if (candidate.match.verdict != SameTray::unsure &&
        (!best || for_either(candidate.match) > for_either(best->match)))
      best = candidate;
  return best;
}

/// The likeliest candidates again, with what a comparison of the photos says. Where plants say next to
/// nothing the first trays kept come first: people walk along their benches the same way each time.
std::vector<Candidate> compared(std::vector<Candidate> candidates, const SeenTray& seen) {
  std::ranges::sort(candidates, std::less{}, [](const Candidate& candidate) {
    return std::pair(std::min(0.0, kNextToNothing - for_either(candidate.match)), candidate.earlier->tray);
  });
  std::vector<Candidate> done;
  for (const Candidate& candidate : candidates) {
    if (done.size() == kPhotosToCompare || !seen.compare) break;
    if (const auto more = seen.compare(candidate.earlier->census, seen.census))
      done.push_back({candidate.earlier, match_trays(candidate.earlier->census.tray, seen.census, *more)});
  }
  return done;
}

/// The tray among these whose plants stand in the same places, or that the comparison says it is.
std::optional<Place> known_place(const std::vector<Earlier>& earlier, const SeenTray& seen,
                                 std::span<const std::int64_t> taken) {
  std::vector<Candidate> candidates;
  for (const Earlier& one : earlier)
    if (std::ranges::count(taken, one.tray) == 0)
      candidates.push_back({&one, match_trays(one.census.tray, seen.census)});
  auto best = surest(candidates);
  if (!best) best = surest(compared(candidates, seen));
  if (!best) return std::nullopt;
  const bool turned = best->match.verdict == SameTray::turned;
  return Place{best->earlier->tray, turned ? half_turned(seen.census) : seen.census, turned};
}

bool has_tag(const Database& file, std::int64_t tray) {
  Statement row = file.prepare("SELECT 1 FROM trays WHERE id = ? AND tag IS NOT NULL");
  row.bind(tray);
  return row.next();
}

/// Where it would go without its tag, if that is a tray with photos and no tag.
std::optional<Place> untagged_place(const Database& file, const SeenTray& seen,
                                    std::span<const std::int64_t> taken) {
  const auto& stood = seen.stood;
  if (stood && stood->same_cells && std::ranges::count(taken, stood->tray) == 0) {
    const bool whole = stood->sowing == seen.sowing || stood->alone;
    return whole && !has_tag(file, stood->tray) ? stood->same_cells : std::nullopt;
  }
  return known_place(latest_censuses(file, "trays.tag IS NULL AND trays.sowing", seen.sowing, seen.photo),
                     seen, taken);
}

/// Hands all that stands in the untagged tray over to the tagged one; a label numbers the cells anew.
Place adopted(const Database& file, std::int64_t tray, const Place& untagged, const Tray& census) {
  if (census.label && untagged.turned) turn_censuses(file, untagged.tray);
  file.prepare("UPDATE censuses SET tray = ? WHERE tray = ?").bind(tray, untagged.tray).run();
  file.prepare("UPDATE decisions SET tray = ? WHERE tray = ?").bind(tray, untagged.tray).run();
  file.prepare("DELETE FROM trays WHERE id = ?").bind(untagged.tray).run();
  return census.label ? Place{tray, census, false} : Place{tray, untagged.census, untagged.turned};
}

}  // namespace

Place place_of_tagged(const Database& file, const std::string& tag, const SeenTray& seen,
                      std::span<const std::int64_t> taken, bool as_before) {
  const auto known = tray_of_tag(file, tag, seen.census.layout);
  if (known) refuse_tray_of_before(file, *known, tag, seen);
  const std::int64_t tray = known ? *known : new_tray(file, seen.sowing, tag);
  move_tray(file, tray, seen.sowing);
  const bool stays = seen.stood && seen.stood->tray == tray && seen.stood->same_cells;
  if (stays && !seen.census.label && !as_before) return *seen.stood->same_cells;
  const auto earlier = latest_censuses(file, "censuses.tray", tray, seen.photo);
  if (!earlier.empty()) return into_numbering_of(earlier[0], seen, tag, as_before);
  const auto untagged = untagged_place(file, seen, taken);
  return untagged ? adopted(file, tray, *untagged, seen.census) : Place{tray, seen.census, false};
}

Place place_of_untagged(const Database& file, const SeenTray& seen, std::span<const std::int64_t> taken) {
  const bool stood = seen.stood && std::ranges::count(taken, seen.stood->tray) == 0;
  if (stood && seen.stood->sowing == seen.sowing && seen.stood->same_cells) return *seen.stood->same_cells;
  const auto earlier = latest_censuses(file, "trays.sowing", seen.sowing, seen.photo);
  if (const auto known = known_place(earlier, seen, taken)) return *known;
  if (!stood || !seen.stood->alone) return {new_tray(file, seen.sowing, std::nullopt), seen.census, false};
  move_tray(file, seen.stood->tray, seen.sowing);
  return {seen.stood->tray, seen.census, false};
}

}  // namespace braird::ledger
