// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>

#include "cli/text/advice_phrases.h"
#include "cli/text/advise_text.h"
#include "cli/text/method_words.h"
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

TEST_CASE("with no bed told, advice says where the wanted number comes from and what would rank by cost") {
  std::istringstream text(
      said_by("advise", {std::string(BRAIRD_SOURCE_DIR) + "/samples/hand-counts.csv", "--seeds", "4",
                         "--crop", "leek", "--sown", "2026-03-01", "--counted", "2026-03-12"})
          .out);
  std::string words;
  for (std::string word; text >> word;) words += word + " ";
  CHECK(words.find(
            "Wanted 238 of 264 cells, since up to 10 % gaps are hardly worth filling; tell the bed (--bed, "
            "--rows, --spacing, or --cells), and the choices are ranked by cost.") != std::string::npos);
  CHECK(words.find("Unless") == std::string::npos);
}

TEST_CASE("how an interval was made is said by what it allows for") {
  CHECK(cli::method_words("Wilson, cells and trays as clusters, with the counter's doubt") ==
        "allows for trays that differ and for miscounts (Wilson)");
  CHECK(cli::method_words("Wilson, cells as clusters, 9 cells checked by hand") ==
        "allows for seeds of a cell that fail together (Wilson, 9 cells checked by hand)");
  CHECK(cli::method_words("Wilson over cells") == "(Wilson over cells)");
  CHECK(cli::method_words("Student's t") == "(Student's t)");
}

TEST_CASE("while much may still come, no lot is too poor for good") {
  AdviceRequest request = request_for(test::tray_with(75, 1, 1), "lettuce", 6);
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

TEST_CASE("a forecast that may be nearly anything gives its range and what is up, not a number between") {
  AdviceRequest request = request_for(test::tray_with(97, 1, 1), "kale", 11);
  const std::string open = cli::advise_text(advise_on(request), {});
  CHECK(open.find("\nGermination    3.0 % of the seed so far; how many in the end is open, 95 % range 2.") !=
        std::string::npos);
  CHECK(open.find("tell it (--temperature).\n") != std::string::npos);
  request.temperature = 10;
  CHECK(cli::advise_text(advise_on(request), {}).find("(--temperature)") == std::string::npos);
  request.temperature = 18;
  const std::string known = cli::advise_text(advise_on(request), {});
  CHECK(known.find(" % of the seed in the end, 95 % range ") != std::string::npos);
}

TEST_CASE("seeds that hardly help are saved, though the most would keep the limit") {
  AdviceReport report;
  report.economy = built_in_economy();
  const std::vector<LotChance> lot = {{1, .73, 0, .5}};
  report.batch =
      advise_batch(lot, {.73, .73, .73, ""}, {{1, 1}, {}, 128, report.economy}, ChosenBy::gap_limit);
  CHECK(report.batch.chosen == 10);
  CHECK(cli::next_time_words(report) ==
        "10 seeds a cell: more seeds hardly help (even 12 leave 4.8 % of the cells empty)");
}

TEST_CASE("no number is said of plants that are hardly to come") {
  const AdviceRequest request = request_for(test::tray_with(97, 1, 1), "leek", 11);
  CHECK(cli::reason(*advise_on(request).stand, request.economy) ==
        "Hardly any more should be up by day 14; fill or resow the gaps then.");
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
  CHECK(words.find("If the lot is better or worse than it looks, 3 to 7 would be right.") !=
        std::string::npos);
}

TEST_CASE(
    "where no table tells how long a crop takes, it is waited for as count says, and nothing is promised or "
    "accused") {
  AdviceRequest request = request_for(test::tray_with(50, 1, 1), "endive", 12);  // judged on day 14
  request.pack_percent = 95;
  const AdviceReport early = advise_on(request);
  CHECK(cli::reason(*early.stand, request.economy).find("endive may come up until about day 14") !=
        std::string::npos);
  const auto weight = [](const AdviceReport& report, const char* suspect) {
    return std::ranges::find(report.suspicions, suspect, &Suspicion::suspect)->weight;
  };
  CHECK(weight(early, "pack") == Suspected::open);
  CHECK(weight(early, "minimum") == Suspected::open);
  const auto words = [](const AdviceReport& report) { return cli::advise_text(report, {}, 0); };
  CHECK(words(early).find("> wait until day 14") != std::string::npos);
  CHECK(words(early).find("of the seed so far, as if no more came") != std::string::npos);
  request.day = 15;
  const AdviceReport judged = advise_on(request);
  CHECK(words(judged).find("of the seed in the end") != std::string::npos);
  CHECK(weight(judged, "minimum") == Suspected::likely);
}
