// SPDX-License-Identifier: Apache-2.0
#include "vision/lying_across.h"

#include <doctest/doctest.h>

#include <opencv2/imgproc.hpp>

#include "vision/lattice.h"

using namespace braird;
using namespace braird::vision;

namespace {

/// A lattice of 16 px a cell, its first cell at `from`.
Lattice laid_at(int rows, int cols, cv::Point2d from = {40, 40}) {
  Lattice lattice;
  lattice.rows = rows, lattice.cols = cols;
  lattice.photo_from_plane = {16, 0, from.x, 0, 16, from.y, 0, 0, 1};
  return lattice;
}

/// Maps of the photo's size in which these lattices' cells, and regions `inset` pitches within them, show.
LatticeMaps maps_of(const std::vector<Lattice>& lattices) {
  LatticeMaps maps;
  const cv::Size size(320, 320);
  for (cv::Mat* map : {&maps.region, &maps.core, &maps.centres, &maps.staggered})
    *map = cv::Mat::zeros(size, CV_32F);
  maps.frame = {{0, 0}, size};
  maps.lens = straight_lens(size);
  for (const Lattice& lattice : lattices) {
    const auto fill = [&](cv::Mat& map, double inset) {
      const cv::Rect2d hull = hull_of(lattice);
      const cv::Point from(photo_point(lattice, hull.tl() + cv::Point2d(inset, inset))),
          to(photo_point(lattice, hull.br() - cv::Point2d(inset, inset)));
      if (to.x > from.x && to.y > from.y) cv::rectangle(map, from, to, 1.0, cv::FILLED);
    };
    fill(maps.region, kRegionInset);
    fill(maps.core, 1);
    for (int row = 0; row < lattice.rows; ++row)
      for (int col = 0; col < lattice.cols; ++col)
        cv::circle(maps.centres, cell_centre(lattice, row, col), 3, 1.0, cv::FILLED);
  }
  cv::GaussianBlur(maps.centres, maps.centres, {}, 1);
  return maps;
}

const LatticeMaps kNothing = maps_of({});

bool goes_on(const Lattice& lattice, const std::vector<Lattice>& all,
             const std::vector<Looked>& looked = {}) {
  return may_go_on_across(lattice, all, looked, kNothing);
}

/// What a look shows of a region of 16 px a cell.
Looked seen(cv::Rect2f cells, bool cut) {
  Sight sight{{}, cut ? cut_off("lower") : unclear({}, false)};
  sight.goes_on = cut;
  const cv::Point2f from = cv::Point2f(40, 40) + 16 * cells.tl(), to = cv::Point2f(40, 40) + 16 * cells.br();
  return {{from, {to.x, from.y}, to, {from.x, to.y}}, {sight}, cut};
}

}  // namespace

TEST_CASE("a tray beside one as wide, but of another length, may be a part of it; beside its like it isn't") {
  const Lattice tray = laid_at(3, 6), longer = laid_at(7, 6, {40, 104}), beside = laid_at(3, 6, {40, 104}),
                aside = laid_at(7, 6, {56, 104}), far = laid_at(7, 6, {40, 152});
  CHECK(goes_on(tray, {tray, longer}));
  CHECK(goes_on(longer, {tray, longer}));
  for (const Lattice& other : {beside, aside, far}) CHECK_FALSE(goes_on(tray, {tray, other}));
  const Lattice upright = laid_at(6, 3), wider = laid_at(6, 7, {104, 40});
  CHECK(goes_on(upright, {upright, wider}));
}

TEST_CASE("so may one beside a region that can't be made out, if the photo's edge doesn't cut it") {
  const Lattice tray = laid_at(3, 6);
  const cv::Rect2f below(-0.25F, 3.75F, 5.5F, 6.5F), alike(-0.25F, 3.75F, 5.5F, 2.5F);
  CHECK(goes_on(tray, {tray}, {seen(below, false)}));
  CHECK_FALSE(goes_on(tray, {tray}, {seen(below, true)}));
  CHECK_FALSE(goes_on(tray, {tray}, {seen(alike, false)}));
}

TEST_CASE("so may one that a row of cells stands two pitches off, unless that is a neighbour's") {
  const Lattice tray = laid_at(6, 8), row = laid_at(1, 8, {40, 40 + 7 * 16}),
                next = laid_at(1, 8, {40, 40 + 6 * 16});
  const auto goes_on_in = [&](const LatticeMaps& maps, const std::vector<Looked>& looked = {}) {
    return may_go_on_across(tray, {tray}, looked, maps);
  };
  CHECK_FALSE(goes_on_in(maps_of({tray})));
  CHECK(goes_on_in(maps_of({tray, row})));
  CHECK_FALSE(goes_on_in(maps_of({tray, next, row})));
  CHECK_FALSE(goes_on_in(maps_of({tray, row}), {seen({-0.25F, 6.75F, 7.5F, 3}, true)}));
  LatticeMaps faint = maps_of({tray, row});
  faint.centres.rowRange(40 + 6 * 16, 320) *= 0.4;
  for (const double ends : {0.12, 0.9}) {
    const PhotoSenses photo{.ends_of = [=](const Lattice&) { return std::array<double, 4>{1, 1, ends, 1}; }};
    CHECK(may_go_on_across(tray, {tray}, {}, faint, photo) == (ends < 0.5));
  }
}

TEST_CASE("so may one whose own region goes on with rows of cells, but for a tray as long") {
  const Lattice tray = laid_at(6, 8), more = laid_at(4, 8, {40, 40 + 6 * 16}),
                another = laid_at(6, 8, {40, 40 + 6 * 16});
  const auto goes_on_in = [&](const Lattice& beyond, float rows, bool cut) {
    return may_go_on_across(tray, {tray}, {seen({-0.25F, -0.25F, 7.5F, rows - 0.5F}, cut)},
                            maps_of({tray, beyond}));
  };
  CHECK(goes_on_in(more, 10, false));
  CHECK_FALSE(goes_on_in(more, 10, true));
  CHECK_FALSE(goes_on_in(another, 12, false));
  CHECK_FALSE(goes_on_in(more, 6, false));
}

TEST_CASE("a tray across which something lies isn't counted as two") {
  const LatticeMaps maps = maps_of({laid_at(4, 8), laid_at(8, 8, {40, 40 + 5 * 16})});
  const LatticeSearch search = find_in_maps(maps, {});
  CHECK(search.lattices.empty());
  CHECK(search.refusal.find("across which something lies") != std::string::npos);
  Hints told;
  told.rows = 8, told.cols = 8;
  CHECK(find_in_maps(maps, told).lattices.size() == 1);
}
