// SPDX-License-Identifier: Apache-2.0
#include "cli/counted_page.h"

#include <fmt/format.h>
#include <unistd.h>

#include <stdexcept>

#include "cli/report/gather.h"
#include "cli/report/page.h"
#include "cli/report/words.h"
#include "cli/whole_file.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;

/// A new folder that is deleted, with all in it, when nobody holds it any more.
std::shared_ptr<const fs::path> passing_folder() {
  std::string name = (fs::temp_directory_path() / "braird-XXXXXX").string();
  if (!mkdtemp(name.data())) throw std::runtime_error("--page: no temporary folder can be made in " + name);
  return {new fs::path(name), [](const fs::path* folder) {
            std::error_code ignored;
            fs::remove_all(*folder, ignored);
            delete folder;
          }};
}

}  // namespace

CountedPage::CountedPage() : folder_(passing_folder()) {
  keeper_.ledger = std::make_shared<ledger::Ledger>(*folder_ / "ledger.sqlite", ledger::Access::write);
}

void CountedPage::add(const fs::path& photo, const Census& census, const Order& order) {
  keep_photo(keeper_, photo, census, order);
  photos_.push_back(photo);
}

std::string CountedPage::write(const fs::path& out) {
  if (photos_.empty()) return {};
  report::Subject subject;
  if (photos_.size() == 1) subject.tray = photos_[0].filename().string();
  report::PhotoShelf shelf;
  report::Report made = report::make_report(*keeper_.ledger, subject, shelf);
  if (photos_.size() > 1) made.title = fmt::format(report::words::kPhotosCounted, photos_.size());
  write_whole_file(out, report::page(made));
  return fmt::format("{}: {}\n", out.string(), made.title);
}

}  // namespace braird::cli
