// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <sstream>

#include "cli/text/advise_text.h"
#include "tests/calibration/advice_requests.h"
#include "tests/calibration/trays.h"
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

TEST_CASE("while much may still come, no lot is too poor for good") {
  AdviceRequest request = request_for(test::tray_with(92, 1, 1), "kale", 6);
  const AdviceReport early = advise_on(request);
  REQUIRE(early.still_to_come > .1);
  REQUIRE(early.stand->too_poor);
  CHECK(cli::too_poor_words(early).ends_with("judge the lot when more is up."));
  request.need = 90;
  CHECK(cli::reason(*advise_on(request).stand, request.economy).find("another one") == std::string::npos);
  request.day = 30;
  const AdviceReport late = advise_on(request);
  CHECK(cli::too_poor_words(late).ends_with("sow another one."));
  CHECK(cli::reason(*late.stand, request.economy).find("another one") != std::string::npos);
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
