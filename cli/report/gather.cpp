// SPDX-License-Identifier: Apache-2.0
#include "cli/report/gather.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <iterator>
#include <set>

#include "calibration/empty_cells.h"
#include "calibration/in_the_end.h"
#include "calibration/ledger/census_key.h"
#include "cli/kept_advice.h"
#include "cli/lot_detail.h"
#include "cli/lot_filter.h"
#include "cli/report/words.h"

namespace braird::report {
namespace {

namespace fs = std::filesystem;
using ledger::FoundCensus;
using ledger::KeptCensus;
using ledger::KeptLot;
using ledger::KeptSowing;
using ledger::KeptTray;
using ledger::Ledger;

constexpr int kDrawnAtRandom = 16, kUnsure = 4;  // as braird check proposes
// A season of 50 trays is to stay below 6 MB.
constexpr std::size_t kMostTrays = 250;      // of a season: more make a page that a phone can't hold
constexpr double kRoom = 5.2e6;              // bytes, of all that depends on the number of trays
constexpr double kBytesOfCell = 240;         // of page, photo apart: 222 measured
constexpr double kBytesOfJpegByte = 4 / 3.;  // base64
constexpr double kLeastPhoto = 20'000;       // bytes of JPEG: below, cells can't be told

/// What all trays of a lot share.
struct Desk {
  const Ledger& ledger;
  const KeptLot& lot;
  std::vector<ledger::KindChecks> checks;
  const CropProfile* crop = nullptr;
  PhotoShelf& shelf;
  int* trays;                       ///< written so far: gives each its id
  std::vector<Finding> repeated{};  ///< places that stay empty in tray after tray
};

KeptSowing alone(const KeptSowing& sowing, const KeptTray& tray) {
  return {sowing.id, sowing.facts, {tray}};
}

ledger::Rates rates_of(const Desk& desk, const KeptSowing& sowing) {
  const ledger::Sown sown{&sowing, ledger::readings_of(sowing)};
  return ledger::rates_of({&sown}, desk.checks);
}

/// The tray's own findings, then the places that stay empty in several of the lot's trays, if it has their
/// shape.
std::vector<Finding> findings_of(const Desk& desk, const TrayReport& tray, int seeds) {
  std::vector<Finding> found = find_patterns(tray_map(tray.tray, seeds, tray.name));
  std::ranges::copy_if(desk.repeated, std::back_inserter(found),
                       [&](const Finding& place) { return alike(place.layout, tray.tray.layout); });
  return found;
}

/// With what hand counts correct.
Evidence evidence_of(const Desk& desk, const TrayReport& tray, const ledger::SowingFacts& sown) {
  Evidence evidence =
      weigh(tray.tray, desk.crop, tray.day ? std::optional(static_cast<int>(*tray.day)) : std::nullopt);
  if (sown.sown_on && !tray.day) evidence.untold_day = "the day of the photo";
  if (tray.hand.empty() || !tray.rates.gaps) return evidence;
  evidence.gaps = *tray.rates.gaps;
  evidence.germination = tray.rates.germination;
  if (evidence.alive) evidence.alive = clusters_alive(evidence.gaps, *tray.tray.seeds_per_cell);
  return evidence;
}

TrayReport report_of(const Desk& desk, const KeptSowing& sowing, const KeptTray& kept) {
  const KeptCensus& census = kept.censuses.back();
  TrayReport tray;
  tray.id = fmt::format("t{}", ++*desk.trays);
  tray.tagged = kept.tag.has_value();
  tray.name = kept.tag.value_or(fs::path(census.file).filename().string());
  tray.place = ledger::place_in_photo(desk.ledger, census.id);
  tray.key = ledger::census_key(desk.ledger, census);
  tray.taken = census.taken;
  tray.day = ledger::day_of(census.taken, sowing.facts.sown_on);
  tray.remarks = remarks_on(ledger::notes_of_photo(desk.ledger, census.hash), census.tray);
  tray.tray = ledger::counted_by_all(census);
  tray.hand = census.checks;
  tray.to_check = ledger::propose_checks(census, kDrawnAtRandom, kUnsure);
  tray.rates = rates_of(desk, alone(sowing, kept));
  tray.evidence = evidence_of(desk, tray, sowing.facts);
  tray.advice = advise(tray.evidence);
  tray.findings = findings_of(desk, tray, sowing.facts.seeds_per_cell.value_or(1));
  if (auto course = ledger::course_of(kept, sowing.facts)) {
    const Course seen{course->emergence, course->design_effect, course->standing};
    if (tray.rates.germination) tray.in_the_end = outlook_of(*tray.rates.germination, {&seen, 1}).in_the_end;
    tray.course = std::move(course->emergence);
  }
  add_photo(tray, census, desk.shelf);
  return tray;
}

/// The trays of the sowing added last, the last of `so_far`, and advice on all of its day if that is the
/// latest that can have any.
void add_trays(const Desk& desk, std::span<const KeptSowing> so_far, LotSection& section) {
  const KeptSowing& sowing = so_far.back();
  SowingReport& report = section.sowings.back();
  for (const KeptTray* tray : ledger::telling_trays(sowing))
    report.trays.push_back(report_of(desk, sowing, *tray));
  const bool latest =
      std::ranges::none_of(section.sowings, [](const auto& one) { return one.advice.has_value(); });
  if (latest) report.advice = cli::advice_on(desk.lot, ledger::sown_last(so_far));
}

/// `trays` counts those written; null: none are.
LotSection section_of(const Ledger& ledger, const KeptLot& kept, PhotoShelf& shelf, int* trays) {
  LotSection section;
  section.detail = cli::detail_of(ledger, kept);
  const CropProfile* crop = kept.facts.crop ? find_crop(built_in_profiles(), *kept.facts.crop) : nullptr;
  Desk desk{ledger, kept, ledger::checks_for(ledger, kept), crop, shelf, trays};
  if (const auto& report = section.detail.report)
    std::ranges::copy_if(report->findings, std::back_inserter(desk.repeated),
                         [](const Finding& finding) { return finding.kind == FindingKind::repeated_place; });
  for (std::size_t at = kept.sowings.size(); at-- > 0;) {
    SowingReport report;
    report.summary = section.detail.summary.sowings[at];
    section.sowings.push_back(std::move(report));
    if (trays) add_trays(desk, std::span(kept.sowings).first(at + 1), section);
  }
  return section;
}

/// Only the trays found, as that photo shows them.
void keep_only(KeptLot& lot, const std::vector<FoundCensus>& found) {
  const auto shown = [&](const KeptCensus& census) {
    return std::ranges::any_of(found, [&](const FoundCensus& one) { return one.census.id == census.id; });
  };
  for (KeptSowing& sowing : lot.sowings) {
    std::erase_if(sowing.trays,
                  [&](const KeptTray& tray) { return std::ranges::none_of(tray.censuses, shown); });
    for (KeptTray& tray : sowing.trays)
      tray.censuses.erase(std::ranges::find_if(tray.censuses, shown) + 1, tray.censuses.end());
  }
  std::erase_if(lot.sowings, [](const KeptSowing& sowing) { return sowing.trays.empty(); });
}

std::string title_of(const std::vector<FoundCensus>& found) {
  const FoundCensus& one = found[0];
  const std::string photo = fs::path(one.census.file).filename().string();
  if (found.size() > 1) return fmt::format(words::kTraysInPhoto, found.size(), photo);
  if (one.tag) return fmt::format(words::kTray, *one.tag);
  if (one.place.many > 1) return fmt::format(words::kTrayOfSeveral, one.place.number, one.place.many, photo);
  return fmt::format(words::kTrayWithoutTag, photo);
}

std::vector<KeptLot> lots_of_tray(const Ledger& ledger, const Subject& subject, Report& report) {
  const std::vector<FoundCensus> found = ledger::find_censuses(ledger, subject.tray);
  report.scope = Scope::trays;
  report.title = title_of(found);
  std::set<std::string> names;
  for (const FoundCensus& one : found) names.insert(one.lot);
  std::vector<KeptLot> lots;
  for (const std::string& name : names) {
    lots.push_back(ledger::read_lot(ledger, name));
    keep_only(lots.back(), found);
  }
  return lots;
}

KeptLot lot_asked(const Ledger& ledger, const Subject& subject, Report& report) {
  KeptLot lot = ledger::read_lot(ledger, subject.lot, subject.filter);
  report.scope = Scope::lot;
  report.title = fmt::format(words::kLot, lot.facts.name);
  if (!subject.sown_on) return lot;
  report.scope = Scope::sowing;
  report.title += fmt::format(", {}", fmt::format(words::kSowing, *subject.sown_on));
  std::erase_if(lot.sowings,
                [&](const KeptSowing& sowing) { return sowing.facts.sown_on != subject.sown_on; });
  if (lot.sowings.empty())
    throw std::invalid_argument(
        fmt::format("the ledger knows no sowing of lot {} on {}", lot.facts.name, *subject.sown_on));
  return lot;
}

std::vector<KeptLot> lots_asked(Ledger& ledger, const Subject& subject, Report& report) {
  if (!subject.tray.empty()) return lots_of_tray(ledger, subject, report);
  if (!subject.lot.empty()) return {lot_asked(ledger, subject, report)};
  report.title = words::kSeason;
  std::vector<KeptLot> lots;
  for (const ledger::LotSummary& lot : ledger::season(ledger, subject.filter))
    lots.push_back(ledger::read_lot(ledger, lot.facts.name, subject.filter));
  if (lots.empty() && (subject.filter.crop || subject.filter.by_date()))
    throw std::invalid_argument(cli::why_no_lot(ledger, subject.filter));
  return lots;
}

std::size_t trays_of(const std::vector<KeptLot>& lots) {
  std::size_t trays = 0;
  for (const KeptLot& lot : lots)
    for (const KeptSowing& sowing : lot.sowings) trays += sowing.trays.size();
  return trays;
}

/// Each tray's share of the room for photos; none for very many.
void share_room(PhotoShelf& shelf, const std::vector<KeptLot>& lots) {
  double trays = 0, cells = 0;
  for (const KeptLot& lot : lots)
    for (const KeptSowing& sowing : lot.sowings)
      for (const KeptTray* tray : ledger::telling_trays(sowing)) {
        ++trays;
        cells += static_cast<double>(tray->censuses.back().tray.cells.size());
      }
  const double share = (kRoom - kBytesOfCell * cells) / kBytesOfJpegByte / std::max(1., trays);
  shelf.wanted = shelf.wanted && share >= kLeastPhoto;
  if (shelf.wanted) shelf.bytes = std::min(shelf.bytes, static_cast<std::size_t>(share));
}

/// Today; or the day that SOURCE_DATE_EPOCH names, so that a page can be made again to the letter
/// (reproducible-builds.org, Source Date Epoch Specification 1.1).
std::string today() {
  const char* told = std::getenv("SOURCE_DATE_EPOCH");
  const std::time_t now = told ? static_cast<std::time_t>(std::atoll(told)) : std::time(nullptr);
  return fmt::format("{:%Y-%m-%d}", told ? fmt::gmtime(now) : fmt::localtime(now));
}

}  // namespace

Report gather(Ledger& ledger, const Subject& subject, PhotoShelf& shelf) {
  Report report;
  const std::vector<KeptLot> lots = lots_asked(ledger, subject, report);
  PhotoShelf room{shelf.wanted, shelf.bytes, shelf.elsewhere, {}, {}, std::move(shelf.made)};
  share_room(room, lots);
  int trays = 0;
  report.without_trays = report.scope == Scope::season && trays_of(lots) > kMostTrays;
  for (const KeptLot& lot : lots)
    report.lots.push_back(section_of(ledger, lot, room, report.without_trays ? nullptr : &trays));
  shelf.made = std::move(room.made);
  return report;
}

Report make_report(Ledger& ledger, const Subject& subject, PhotoShelf& shelf) {
  Report made = gather(ledger, subject, shelf);
  made.made_on = today();
  made.version = BRAIRD_VERSION;
  return made;
}

}  // namespace braird::report
