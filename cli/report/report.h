// SPDX-License-Identifier: Apache-2.0
// What the report shows, gathered from the ledger by the functions that the other commands answer from, so
// that page and terminal never contradict each other. Plain structs; gather.h fills them, page.h writes them.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "calibration/advice.h"
#include "calibration/grower_advice.h"
#include "calibration/ledger/check_plan.h"
#include "calibration/ledger/history.h"
#include "calibration/ledger/lot_rates.h"
#include "cli/text/lots_text.h"

namespace braird::report {

/// A photo cut down to its tray, small enough for a page.
struct PagePhoto {
  std::string jpeg;
  int width = 0, height = 0;  ///< px
  Point origin;               ///< of its first pixel, in px of the counted photo
  double scale = 1;           ///< its px for each px of the counted photo, ≤ 1
};

struct TrayReport {
  std::string id;    ///< within the page: letters and digits
  std::string name;  ///< its tag, or its photo's file name
  bool tagged = false;
  ledger::PlaceInPhoto place;
  std::string key;  ///< census_key.h
  std::optional<std::string> taken;
  std::optional<double> day;         ///< of that photo, since sowing
  std::vector<std::string> remarks;  ///< on that photo: sentences
  Tray tray;                         ///< hand counts in their places
  std::vector<ledger::HandCheck> hand;
  std::vector<ledger::CheckProposal> to_check;
  ledger::Rates rates;
  Evidence evidence;
  Advice advice;
  std::vector<Finding> findings;       ///< of this tray; then places that stay empty in several trays
  std::optional<Inspections> course;   ///< of a tray with photos of several days
  std::optional<Estimate> in_the_end;  ///< by that course; nothing while it still rises
  std::optional<PagePhoto> photo;
  std::string photo_file;    ///< where the counted photo is now; empty if it is nowhere
  std::string why_no_photo;  ///< a sentence
};

struct SowingReport {
  ledger::SowingSummary summary;
  std::vector<TrayReport> trays;
  std::optional<AdviceReport> advice;  ///< on all sown last, where the seeds a cell are known
  std::string count_first;             ///< why not to plan the next trays by it yet: a clause, mostly empty
};

struct LotSection {
  cli::LotDetail detail;
  std::vector<SowingReport> sowings;  ///< the latest first
};

/// A photo that could not be counted.
struct Uncounted {
  std::string file;                ///< as it was named
  std::string why;                 ///< a sentence
  std::optional<PagePhoto> photo;  ///< all of it; nothing if it can't be read
  std::optional<Layout> told;      ///< what was said of the tray's shape
};

enum class Scope { trays, sowing, lot, season };

struct Report {
  Scope scope = Scope::season;
  std::string title;
  std::string made_on, version;
  bool without_trays = false;    ///< a season of too many for one page
  std::vector<LotSection> lots;  ///< suspicious ones first
  std::vector<Uncounted> uncounted{};
};

}  // namespace braird::report
