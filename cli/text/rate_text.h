// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calibration/lot_report.h"
#include "calibration/patience.h"
#include "calibration/standards.h"

namespace braird::cli {

/// What `braird rate` found, ready to be said.
struct RateAnswer {
  struct LotAnswer {
    LotReport report;
    const CropProfile* crop = nullptr;
    std::optional<Patience> patience;
  };
  std::vector<LotAnswer> lots;
  std::optional<Overdispersion> across_lots;
};

/// Those of the lots that have a legal minimum, each once.
std::vector<const CropProfile*> crops_with_minimum(const RateAnswer& answer);

/// Do seeds that were sown together fail together? "Seeds of a cell fail independently, …", or nothing where
/// it was not tested.
std::string shared_fate_words(const Overdispersion& over);

/// The answer for a person.
std::string rate_text(const RateAnswer& answer);

}  // namespace braird::cli
