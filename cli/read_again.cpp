// SPDX-License-Identifier: Apache-2.0
#include "cli/read_again.h"

#include <exception>
#include <optional>

#include "calibration/ledger/rereading.h"
#include "calibration/profiles.h"
#include "cli/kept_photo.h"
#include "cli/order.h"
#include "vision/beside.h"

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

/// The census read again, or nothing where that can't be done: then the count of the photo alone stays.
std::optional<Tray> read_beside(const KeptCensus& one, const KeptCensus& latest,
                                const vision::Photo& latest_photo) try {
  const auto photo = standing_photo_of(one);
  if (!photo) return std::nullopt;
  return vision::with_counts(one.tray, vision::count_beside({*photo, one.tray}, {latest_photo, latest.tray},
                                                            vision::Other::later, hints_of(one.tray)));
} catch (const std::exception&) {
  return std::nullopt;
}

int read_all(ledger::Ledger& ledger, const ledger::Rereading& todo) {
  if (!todo.latest) return 0;
  const auto latest_photo = standing_photo_of(*todo.latest);
  if (!latest_photo) return 0;
  int read = 0;
  for (const KeptCensus& one : todo.earlier)
    if (const auto tray = read_beside(one, *todo.latest, *latest_photo))
      read += static_cast<int>(replace_counts(ledger, one, *tray, *todo.latest));
  return read;
}

}  // namespace

std::vector<ReadAgain> read_again(ledger::Ledger& ledger, const ledger::Bytes& hash) {
  std::vector<ReadAgain> done;
  for (const ledger::Rereading& todo : to_read_again(ledger, hash)) {
    const int read = read_all(ledger, todo);
    done.push_back({todo.latest_is_new ? read : 0, !todo.latest_is_new && read > 0});
  }
  return done;
}

}  // namespace braird::cli
