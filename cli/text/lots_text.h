// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "calibration/grower_advice.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/ledger/tray_course.h"
#include "calibration/lot_report.h"

namespace braird::cli {

/// The season at a glance: a line a lot, and what speaks against the suspicious ones.
std::string lots_text(const std::vector<ledger::LotSummary>& lots);

/// Which of a lot's trays have rates that hand checks don't correct, though others' they do: a sentence after
/// a blank, or nothing.
std::string uncorrected_words(const ledger::LotSummary& lot);

/// What the whole statistics add to a lot's summary.
struct LotDetail {
  ledger::LotSummary summary;
  std::vector<ledger::Decision> decisions;
  std::vector<ledger::TrayCourse> courses;  ///< of trays photographed on several days
  std::optional<LotReport> report;          ///< nothing without photos
  std::optional<int> more_until;            ///< the day until which more of the latest sowing may come up
  bool still_rising = false;                ///< or does, by its own course
  std::optional<AdviceReport> advice;       ///< for the next trays; nothing while more may come up
};

/// Why a lot's next trays are better planned later: a clause, or nothing.
std::string count_first_words(const LotDetail& lot);

/// A lot's history.
std::string lot_text(const LotDetail& lot);

}  // namespace braird::cli
