// SPDX-License-Identifier: Apache-2.0
// Trays and photos found by what a person calls them.
#include <filesystem>

#include "calibration/ledger/history.h"
#include "tests/ledger/kept_bench.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

namespace {

const Layout kSought{8, 16, LatticeKind::square};

}  // namespace

TEST_CASE("a photo is found by its very name, and refused where several have it") {
  KeptBench bench;
  const auto keep_file = [&](const std::string& file) {
    keep(bench.ledger, hash_of(file), census_of({sure_tray(kSought, ++bench.photos)}, file), {});
  };
  const auto found = [&](const std::string& name) { return find_census(bench.ledger, name).census.file; };
  for (const char* file :
       {"/a/IMG_1.jpg", "/a/IMGx1.jpg", "/a/img_1.jpg", "/mon/IMG_2.jpg", "/tue/IMG_2.jpg"})
    keep_file(file);
  const std::string here = (std::filesystem::current_path() / "IMG_3.jpg").string();
  keep_file(here);
  keep_file("/tue/IMG_3.jpg");
  CHECK(found("IMG_1.jpg") == "/a/IMG_1.jpg");
  CHECK(found("./a/IMG_1.jpg") == "/a/IMG_1.jpg");
  CHECK(found("/mon/../tue/IMG_2.jpg") == "/tue/IMG_2.jpg");
  CHECK(found("mon/IMG_2.jpg") == "/mon/IMG_2.jpg");
  CHECK(found("IMG_3.jpg") == here);
  CHECK(found("./IMG_3.jpg") == here);
  CHECK_THROWS_WITH_AS(found("IMG%.jpg"), doctest::Contains("no tray and no photo"), std::invalid_argument);
  CHECK_THROWS_WITH_AS(found("IMG_2.jpg"),
                       "the ledger knows 2 photos \"IMG_2.jpg\"; name one with its folder: /mon/IMG_2.jpg, "
                       "/tue/IMG_2.jpg",
                       std::invalid_argument);
}

TEST_CASE("a photo of several trays is asked which one is meant") {
  KeptBench bench;
  keep(bench.ledger, hash_of("two.jpg"), census_of({sure_tray(kSought, 5), sure_tray(kSought, 9)}, "two.jpg"),
       {});
  for (const char* name : {"two.jpg", ""})
    CHECK_THROWS_WITH_AS(find_census(bench.ledger, name),
                         "the photo two.jpg shows 2 trays; name one: two.jpg:1 or two.jpg:2",
                         std::invalid_argument);
  CHECK(find_censuses(bench.ledger, "two.jpg").size() == 2);
  const FoundCensus first = find_census(bench.ledger, "two.jpg:1");
  CHECK(summarise(first.census.tray).seedlings == 5);
  CHECK(first.place.number == 1);
  CHECK(first.place.many == 2);
  CHECK(summarise(find_census(bench.ledger, "two.jpg:2").census.tray).seedlings == 9);
  CHECK_THROWS_AS(find_census(bench.ledger, "two.jpg:3"), std::invalid_argument);
}
