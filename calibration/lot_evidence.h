// SPDX-License-Identifier: Apache-2.0
// From counted lots to what a belief is drawn from (belief.h), and to what the plain rules look at
// (advice.h).
#pragma once

#include <optional>
#include <span>

#include "calibration/advice.h"
#include "calibration/belief.h"
#include "calibration/lot.h"

namespace braird {

struct AdviceRequest;

/// All counts of a request: its trays as seen, and dishes, daily counts, earlier sowings and the pack's word
/// as finished sowings. Doubles and missed cells that the counts, or the gaps' places (a hole or line that
/// stays empty), show are put into the sower.
LotEvidence lot_evidence(const AdviceRequest& request);

/// The figures that `weigh` gathers for one tray, over all trays of the lot.
Evidence evidence_for_rule(const Lot& lot, const CropProfile* crop, std::optional<double> day, double fit,
                           int review);

/// Daily counts without a seedling by the day on which the crop is up as far as it will come; of a crop that
/// is not told or has no such day, on which the slowest is.
bool came_to_nothing(const Inspections& course, const CropProfile* crop);

/// The most seeds a cell of the lot was sown with; 0 without trays.
int most_seeds(const Lot& lot);

/// Of lots of seed clusters, the share of clusters that gave any seedling, where the sower missed such a
/// share of the cells; nothing of single seeds, or without trays.
std::optional<Estimate> clusters_alive(std::span<const Lot> lots, double missed = 0);

/// The rate over all earlier sowings; nothing without any.
std::optional<Estimate> earlier_rate(std::span<const Lot> earlier);

}  // namespace braird
