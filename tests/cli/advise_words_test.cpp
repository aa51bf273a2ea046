// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <sstream>

#include "cli/text/advise_text.h"
#include "tests/cli/bench.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("packs on sale: blanks after commas, no total where no price is known, one cell in the singular") {
  auto page = [](const char* packs, const char* cells) {
    return said_by("advise", {"--germination", "90", "--packs", packs, "--cells", cells}).out;
  };
  CHECK(page("500:3.20, 5000:22", "600").find(" packs for ") != std::string::npos);
  CHECK(page("500, 5000", "600").find("; order ") != std::string::npos);
  CHECK(page("500, 5000", "600").find(" for ") == std::string::npos);
  CHECK(page("500", "1").find("1 cell fills 0.01 trays") != std::string::npos);
}

TEST_CASE("the range of seeds a cell is told from the fewest to the most") {
  AdviceRequest request;
  request.pack_percent = 90;
  AdviceReport report = advise_on(request);
  report.batch.chosen_if_good = 7;
  report.batch.chosen_if_poor = 3;
  std::istringstream text(cli::advise_text(report, {}));
  std::string words;
  for (std::string word; text >> word;) words += word + " ";
  CHECK(words.find("over the range of germination 3 to 7.") != std::string::npos);
}
