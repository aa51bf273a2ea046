// SPDX-License-Identifier: Apache-2.0
#include "cli/read_again.h"

#include <algorithm>
#include <exception>
#include <optional>

#include "calibration/ledger/rereading.h"
#include "calibration/profiles.h"
#include "cli/kept_photo.h"
#include "cli/order.h"
#include "vision/coming_up.h"

namespace braird::cli {
namespace {

using ledger::KeptCensus;

/// What the ledger knows of a sowing.
vision::Hints hints_of(const Tray& tray) {
  vision::Hints hints;
  if (tray.crop)
    if (const CropProfile* crop = find_crop(built_in_profiles(), *tray.crop))
      hints.habit = habit_called(crop->habit);
  hints.seeds_per_cell = tray.seeds_per_cell;
  return hints;
}

/// The census read again, or nothing where that can't be done: then the first count stays.
std::optional<Tray> read_once_more(const KeptCensus& one) try {
  const auto photo = standing_photo_of(one);
  if (!photo) return std::nullopt;
  return vision::with_counts(one.tray, vision::count_coming_up({*photo, one.tray}, hints_of(one.tray)));
} catch (const std::exception&) {
  return std::nullopt;
}

/// Whether the counter for trays that come up sees the plants that stand in the latest photo: it was fitted
/// to green leaves alone.
bool knows_plants_of(const KeptCensus& latest) {
  const auto full = [](const Tray& tray) {
    return std::ranges::count_if(tray.cells, [](const Cell& cell) { return cell.count > 0; });
  };
  const auto again = read_once_more(latest);
  return !again || 2 * full(*again) >= full(latest.tray);
}

int read_all(ledger::Ledger& ledger, const std::vector<KeptCensus>& earlier) {
  int read = 0;
  for (const KeptCensus& one : earlier)
    if (const auto tray = read_once_more(one)) read += static_cast<int>(replace_counts(ledger, one, *tray));
  return read;
}

}  // namespace

std::vector<ReadAgain> read_again(ledger::Ledger& ledger, const ledger::Bytes& hash) {
  std::vector<ReadAgain> done;
  for (const ledger::Rereading& todo : to_read_again(ledger, hash)) {
    const bool can_be_read = !todo.earlier.empty() && knows_plants_of(todo.latest);
    const int read = can_be_read ? read_all(ledger, todo.earlier) : 0;
    done.push_back({todo.latest_is_new ? read : 0, !todo.latest_is_new && read > 0});
  }
  return done;
}

}  // namespace braird::cli
