// SPDX-License-Identifier: Apache-2.0
#include "vision/photo_senses.h"

#include <doctest/doctest.h>

#include <cmath>

#include "vision/lattice.h"
#include "vision/photo.h"

using namespace braird::vision;

TEST_CASE(
    "the photo made smaller, where cells are large enough in it, tells of ends and seams what the photo "
    "does") {
  for (const char* name : {"plug-128-brassica", "paper-chain-264-beet", "paper-chain-264-brassica"}) {
    CAPTURE(name);
    const cv::Mat bgr =
        load_photo(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/" + name + ".jpg", Detail::counting).bgr;
    const LatticeMaps maps = read_lattice_maps(bgr);
    REQUIRE(maps.smaller.size() == 2);
    LatticeMaps without = maps;
    without.smaller.clear();
    const LatticeSearch search = find_lattices(bgr, maps, {});
    REQUIRE(search.lattices.size() == 1);
    const Hints hints;
    const PhotoSenses quick = senses_of(bgr, maps, hints, {}), full = senses_of(bgr, without, hints, {});
    const auto ends = quick.ends_of(search.lattices[0]), those = full.ends_of(search.lattices[0]);
    for (std::size_t side = 0; side < 4; ++side) {
      CHECK(ends[side] > 0.9);
      CHECK(ends[side] == doctest::Approx(those[side]).epsilon(0.02));
    }
    const auto seams = quick.seams_in(search.lattices[0]), others = full.seams_in(search.lattices[0]);
    REQUIRE(seams.size() == others.size());
    CHECK(!seams.empty());
    for (std::size_t i = 0; i < seams.size(); ++i) CHECK(std::abs(seams[i].chance - others[i].chance) < 0.05);
  }
}
