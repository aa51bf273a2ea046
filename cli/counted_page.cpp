// SPDX-License-Identifier: Apache-2.0
#include "cli/counted_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "cli/report/gather.h"
#include "cli/report/page.h"
#include "cli/report/page_photo.h"
#include "cli/report/words.h"
#include "cli/whole_file.h"
#include "vision/photo.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kBytes = 600'000;  // of each picture of a photo that wasn't counted
constexpr std::size_t kMostPictures = 12;

/// Nothing of a photo that can't be read.
std::optional<report::PagePhoto> picture_of(const fs::path& photo) {
  try {
    const cv::Mat bgr = vision::load_photo(photo).bgr;
    return report::page_photo(bgr, {{0, 0}, bgr.size()}, kBytes);
  } catch (const std::exception&) {
    return std::nullopt;
  }
}

}  // namespace

CountedPage::CountedPage() {
  keeper_.ledger = std::make_shared<ledger::Ledger>(ledger::kInMemory, ledger::Access::write);
}

void CountedPage::add(const fs::path& photo, const Census& census, const Order& order) {
  keep_photo(keeper_, photo, census, order);
  photos_.push_back(photo);
}

void CountedPage::add_uncounted(const fs::path& photo, const std::string& complaint, const Order& order) {
  report::Uncounted one{photo.string(), complaint, {}, {}};
  if (one.why.starts_with(one.file + ": ")) one.why.erase(0, one.file.size() + 2);
  if (order.hints.rows && order.hints.cols)
    one.told = {*order.hints.rows, *order.hints.cols, order.hints.lattice.value_or(LatticeKind::square)};
  if (uncounted_.size() < kMostPictures) one.photo = picture_of(photo);
  uncounted_.push_back(std::move(one));
}

std::string CountedPage::write(const fs::path& out) {
  const bool shows_any =
      std::ranges::any_of(uncounted_, [](const auto& one) { return one.photo.has_value(); });
  if (photos_.empty() && !shows_any) return {};
  report::Subject subject;
  if (photos_.size() == 1) subject.tray = photos_[0].filename().string();
  report::PhotoShelf shelf;
  report::Report made = report::make_report(*keeper_.ledger, subject, shelf);
  made.uncounted = uncounted_;
  if (photos_.size() > 1) made.title = fmt::format(report::words::kPhotosCounted, photos_.size());
  if (photos_.empty())
    made.title =
        fmt::format(fmt::runtime(report::words::kPhotosUncounted[uncounted_.size() != 1]), uncounted_.size());
  write_whole_file(out, report::page(made));
  return fmt::format("{}: {}\n", out.string(), made.title);
}

}  // namespace braird::cli
