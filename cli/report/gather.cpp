// SPDX-License-Identifier: Apache-2.0
#include "cli/report/gather.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <iterator>

#include "calibration/empty_cells.h"
#include "calibration/in_the_end.h"
#include "calibration/ledger/census_key.h"
#include "cli/kept_advice.h"
#include "cli/lot_detail.h"

namespace braird::report {
namespace {

using ledger::KeptCensus;
using ledger::KeptLot;
using ledger::KeptSowing;
using ledger::KeptTray;
using ledger::Ledger;

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
                       [&](const Finding& place) { return place.layout == tray.tray.layout; });
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
  tray.name = kept.tag.value_or(std::filesystem::path(census.file).filename().string());
  tray.place = ledger::place_in_photo(desk.ledger, census.id);
  tray.key = ledger::census_key(desk.ledger, census);
  tray.taken = census.taken;
  tray.day = ledger::day_of(census.taken, sowing.facts.sown_on);
  tray.remarks = remarks_on(ledger::notes_of_photo(desk.ledger, census.hash), census.tray);
  tray.tray = ledger::counted_by_all(census);
  tray.hand = census.checks;
  tray.to_check = ledger::propose_checks(census, ledger::kUsuallyDrawn, ledger::kUsuallyDoubtful);
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
  if (!latest) return;
  report.advice = cli::advice_on(desk.lot, ledger::sown_last(so_far));
  report.count_first = cli::count_first_words(section.detail);
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
