// SPDX-License-Identifier: Apache-2.0
#include "cli/compare_litter.h"

#include <exception>
#include <memory>

#include "cli/kept_photo.h"
#include "vision/litter.h"

namespace braird::cli {
namespace {

constexpr std::size_t kDay = 10;  // characters of a time that tell the day

bool on_other_days(const std::optional<std::string>& one, const std::optional<std::string>& other) {
  return one && other && one->substr(0, kDay) != other->substr(0, kDay);
}

std::optional<vision::Litter> litter_in(const std::filesystem::path& photo, const Tray& tray) try {
  return vision::litter_of({photo_again(photo, tray), tray});
} catch (const std::exception&) {
  return std::nullopt;
}

/// The litter of the photo's trays, looked at once each; nothing where it can't be seen.
class LitterNow {
 public:
  explicit LitterNow(std::filesystem::path photo) : photo_(std::move(photo)) {}

  const vision::Litter* of(const Tray& tray) {
    if (tray_ != &tray) litter_ = litter_in(photo_, tray), tray_ = &tray;
    return litter_ ? &*litter_ : nullptr;
  }

 private:
  std::filesystem::path photo_;
  const Tray* tray_ = nullptr;
  std::optional<vision::Litter> litter_;
};

}  // namespace

ledger::Comparison litter_comparison(const std::filesystem::path& photo, const PhotoFacts& facts) {
  return [now = std::make_shared<LitterNow>(photo), taken = facts.taken](
             const ledger::KeptCensus& earlier, const Tray& census) -> std::optional<MoreEvidence> {
    if (!on_other_days(earlier.taken, taken)) return std::nullopt;
    const vision::Litter* litter = now->of(census);
    const auto before = litter ? standing_photo_of(earlier) : std::nullopt;
    if (!before) return std::nullopt;
    try {
      const auto [upright, turned] = match_litter(vision::litter_of({*before, earlier.tray}), *litter);
      return MoreEvidence{upright, turned};
    } catch (const std::exception&) {
      return std::nullopt;
    }
  };
}

}  // namespace braird::cli
