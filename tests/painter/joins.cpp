// SPDX-License-Identifier: Apache-2.0
#include "tests/painter/joins.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

namespace braird {
namespace {

void add(Verdicts& verdicts, SameTray verdict) {
  verdicts.same += verdict == SameTray::same;
  verdicts.turned += verdict == SameTray::turned;
  verdicts.unsure += verdict == SameTray::unsure;
}

bool like(const Layout& one, const Layout& other) {
  return one.rows == other.rows && one.cols == other.cols && one.lattice == other.lattice;
}

std::string words_for(const Joins& joins) {
  const Verdicts &plants = joins.by_plants, &all = joins.in_all;
  return fmt::format("{} pairs; plants alone: {} the same, {} turned; with litter: {} the same, {} turned\n",
                     all.same + all.turned + all.unsure, plants.same, plants.turned, all.same, all.turned);
}

}  // namespace

Fingerprints fingerprints_of(const cv::Mat& bgr, const Tray& tray) {
  vision::Photo photo;
  photo.bgr = bgr;
  try {
    return {tray, vision::litter_of({photo, tray})};
  } catch (const std::invalid_argument&) {  // not compared then, as in keeping
    return {tray, std::nullopt};
  }
}

void join(Joins& joins, const Fingerprints& earlier, const Fingerprints& later) {
  SameTray verdict = match_trays(earlier.tray, later.tray).verdict;
  add(joins.by_plants, verdict);
  if (verdict == SameTray::unsure && earlier.litter && later.litter) {
    const auto [upright, turned] = match_litter(*earlier.litter, *later.litter);
    verdict = match_trays(earlier.tray, later.tray, {upright, turned}).verdict;
  }
  add(joins.in_all, verdict);
}

void join_days(AllJoins& all, std::vector<Fingerprints> days, std::span<const Fingerprints> turned) {
  const auto other = std::ranges::find_if(
      all.latest, [&](const auto& tray) { return like(tray[0].tray.layout, days[0].tray.layout); });
  for (std::size_t day = 1; day < days.size(); ++day) {
    join(all.upright, days[day - 1], days[day]);
    join(all.half_turned, days[day - 1], turned[day]);
    if (other != all.latest.end()) join(all.others, (*other)[day - 1], days[day]);
  }
  if (other == all.latest.end())
    all.latest.push_back(std::move(days));
  else
    *other = std::move(days);
}

std::string words_for(const AllJoins& all) {
  return "consecutive days: " + words_for(all.upright) +
         "the later half turned: " + words_for(all.half_turned) +
         "different trays of one layout: " + words_for(all.others);
}

}  // namespace braird
