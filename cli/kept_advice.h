// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <span>

#include "calibration/grower_advice.h"
#include "calibration/ledger/records.h"

namespace braird::cli {

/// What `braird advise` is told of some sowings of one day and of what the ledger knows of their lot: the other
/// sowings' trays that are all up, the bench's temperature, the pack's word. Nothing without trays of which
/// the seeds a cell are known.
std::optional<AdviceRequest> request_on(const ledger::KeptLot& lot,
                                        std::span<const ledger::KeptSowing> sowings);

/// Those sown on that day; without one those of the latest day of which there is anything to say.
struct LatestRequest {
  AdviceRequest request;
  std::optional<std::string> sown_on;
};
std::optional<LatestRequest> latest_request(const ledger::KeptLot& lot,
                                            const std::optional<std::string>& sown_on = {});

/// What `braird advise` says to that.
std::optional<AdviceReport> advice_on(const ledger::KeptLot& lot,
                                      std::span<const ledger::KeptSowing> sowings);
std::optional<AdviceReport> latest_advice(const ledger::KeptLot& lot);

}  // namespace braird::cli
