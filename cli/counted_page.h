// SPDX-License-Identifier: Apache-2.0
// `braird count --page`: the report's page of what is counted now, though none of it is kept.
#pragma once

#include <filesystem>
#include <memory>
#include <vector>

#include "calibration/census.h"
#include "cli/keep_photo.h"
#include "cli/order.h"
#include "cli/report/report.h"

namespace braird::cli {

class CountedPage {
 public:
  CountedPage();  ///< with a ledger of its own in memory
  void add(const std::filesystem::path& photo, const Census& census, const Order& order);
  /// A photo that could not be counted, and the sentence that says why.
  void add_uncounted(const std::filesystem::path& photo, const std::string& complaint, const Order& order);
  /// Writes the page and says what it is about; empty, and no page, if no photo could even be read.
  std::string write(const std::filesystem::path& out);

 private:
  Keeper keeper_;
  std::vector<std::filesystem::path> photos_{};
  std::vector<report::Uncounted> uncounted_{};
};

}  // namespace braird::cli
