// SPDX-License-Identifier: Apache-2.0
#include "vision/steps_between_trays.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <tuple>
#include <utility>

#include "vision/patch_layouts.h"
#include "vision/seams.h"

namespace braird::vision {
namespace {

constexpr double kOddStep = 0.08;   // of a pitch by which a step must differ from its neighbours
constexpr double kOddEdge = 0.2;    // the same where fewer rows than a tray has lie beyond it
constexpr double kClearly = 5;      // times by which that must exceed its own uncertainty
constexpr double kAmongOthers = 4;  // times the usual oddness of the patch's other steps
constexpr std::size_t kLines = 4;   // lines of cells that must cross a seam
constexpr double kCrossing = 0.6;   // and their share of all lines
constexpr double kWithin = 0.02;    // of a quad from its sides: nearer, a step lies beyond it

double along(cv::Point2d p, bool upright) {
  return upright ? p.x : p.y;
}

/// One line's step across a possible seam: from, to and what is usual beside it; shares of the quad.
struct Crossing {
  double from, to, usual;
};

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<long>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// By how many pitches the lines' step differs from those beside it.
double oddness(const std::vector<Crossing>& crossings) {
  std::vector<double> odds;
  odds.reserve(crossings.size());
  for (const Crossing& c : crossings) odds.push_back(std::abs((c.to - c.from) / c.usual - 1));
  return median(odds);
}

/// A step that all lines make at one place, if it is an odd one: how odd, pitches, and where.
std::optional<std::pair<double, Seam>> odd_step(const std::vector<Crossing>& crossings, std::size_t lines,
                                                bool upright) {
  if (crossings.size() < kLines ||
      static_cast<double>(crossings.size()) < kCrossing * static_cast<double>(lines))
    return std::nullopt;
  std::vector<double> odds, from, to, usual;
  for (const Crossing& c : crossings) {
    odds.push_back((c.to - c.from) / c.usual - 1);
    from.push_back(c.from), to.push_back(c.to), usual.push_back(c.usual);
  }
  const double odd = median(odds);
  for (double& o : odds) o = std::abs(o - odd);
  const double uncertain = std::max(0.01, 1.5 * median(odds) / std::sqrt(static_cast<double>(odds.size())));
  if (std::abs(odd) < kClearly * uncertain) return std::nullopt;
  Seam seam;
  seam.upright = upright;
  seam.begin = median(from) + kRegionInset * median(usual);
  seam.end = std::max(seam.begin, median(to) - kRegionInset * median(usual));
  if (seam.begin < kWithin || seam.end > 1 - kWithin) return std::nullopt;
  return std::pair(std::abs(odd), seam);
}

/// The oddest step between neighbouring rows (or columns) of a patch.
std::optional<std::pair<double, Seam>> oddest_step(const ReadPatch& patch, const cv::Matx33d& unit,
                                                   const Lens& lens, bool rows) {
  if (rows && patch.staggered) return std::nullopt;  // those rows are left to the dark seam
  std::map<std::pair<int, int>, cv::Point2d>
      at;  // place along and (doubled) across the steps → share of the quad
  for (const Meeting& cell : patch.cells) {
    const double k = rows ? cell.tray.y : std::floor(cell.tray.x), line = rows ? cell.tray.x : cell.tray.y;
    at[{static_cast<int>(std::lround(2 * line)), static_cast<int>(std::lround(k))}] =
        project(unit, undistort(lens, cell.seen));
  }
  cv::Point2d whole{};
  std::map<int, std::vector<Crossing>> at_step;
  std::map<int, std::size_t> cells_in;
  for (const auto& [key, from] : at) {
    const auto [line, k] = key;
    ++cells_in[k];
    const auto to = at.find({line, k + 1});
    if (to == at.end()) continue;
    const cv::Point2d step = to->second - from;
    whole += cv::Point2d(std::abs(step.x), std::abs(step.y));
  }
  const bool upright = whole.x > whole.y;
  for (const auto& [key, from] : at) {
    const auto [line, k] = key;
    const auto to = at.find({line, k + 1}), before = at.find({line, k - 1}), after = at.find({line, k + 2});
    if (to == at.end() || (before == at.end() && after == at.end())) continue;
    const double a = along(from, upright), b = along(to->second, upright);
    std::vector<double> beside;
    if (before != at.end()) beside.push_back(std::abs(a - along(before->second, upright)));
    if (after != at.end()) beside.push_back(std::abs(along(after->second, upright) - b));
    at_step[k].push_back({std::min(a, b), std::max(a, b), (beside.front() + beside.back()) / 2});
  }
  std::optional<std::pair<double, Seam>> oddest;
  int first = 1 << 20, last = -first;
  for (const auto& [k, cells] : cells_in)
    if (cells >= kLines) first = std::min(first, k), last = std::max(last, k);
  std::vector<double> usual_oddness{0};
  for (const auto& [k, crossings] : at_step)
    if (crossings.size() >= kLines) usual_oddness.push_back(oddness(crossings));
  const double among_others = kAmongOthers * median(usual_oddness);
  for (const auto& [k, crossings] : at_step) {
    const bool edge = std::min(k - first + 1, last - k) < kFewestRows;
    const auto found = odd_step(crossings, std::max(cells_in[k], cells_in[k + 1]), upright);
    if (found && found->first > std::max(among_others, edge ? kOddEdge : kOddStep) &&
        (!oddest || found->first > oddest->first))
      oddest = found;
  }
  return oddest;
}

/// Where one patch ends and the next begins, if that is across the whole quad.
std::optional<Seam> seam_between(const ReadPatch& a, const ReadPatch& b, const cv::Matx33d& unit,
                                 const Lens& lens) {
  const auto box_of = [&](const ReadPatch& patch) {
    std::vector<double> x, y;
    for (const Meeting& cell : patch.cells) {
      const cv::Point2d p = project(unit, undistort(lens, cell.seen));
      x.push_back(p.x), y.push_back(p.y);
    }
    const auto [left, right] = std::minmax_element(x.begin(), x.end());
    const auto [top, bottom] = std::minmax_element(y.begin(), y.end());
    return std::tuple(cv::Point2d(*left, *top), cv::Point2d(*right, *bottom));
  };
  const auto [a_low, a_high] = box_of(a);
  const auto [b_low, b_high] = box_of(b);
  for (const bool upright : {true, false}) {
    const double spans = std::min(along(a_high - a_low, !upright), along(b_high - b_low, !upright));
    const double begin = std::min(along(a_high, upright), along(b_high, upright));
    const double end = std::max(along(a_low, upright), along(b_low, upright));
    if (spans < 0.7 || end <= begin) continue;
    const double inset = 0.25 * (end - begin);
    Seam seam;
    seam.upright = upright, seam.begin = begin + inset, seam.end = end - inset;
    if (seam.begin > kWithin && seam.end < 1 - kWithin) return seam;
  }
  return std::nullopt;
}

/// Cells of a patch over those of its fullest window.
double share_filled(const ReadPatch& patch) {
  const PatchWindow window = fullest_window(patch);
  return static_cast<double>(patch.cells.size()) / (window.rows * window.cols);
}

std::optional<Seam> find_step(const std::vector<Patch>& grown, const TrayQuad& quad) {
  constexpr double kFilled = 0.85;  // patches in mere noise have holes
  const cv::Matx33d unit = plane_of(quad.corners).inv();
  std::vector<ReadPatch> patches;
  for (const Patch& patch : grown) {
    ReadPatch read = read_patch(patch, quad);
    if (share_filled(read) > kFilled) patches.push_back(std::move(read));
  }
  std::optional<std::pair<double, Seam>> oddest;
  for (const ReadPatch& patch : patches)
    for (const bool rows : {true, false})
      if (const auto step = oddest_step(patch, unit, quad.lens, rows);
          step && (!oddest || step->first > oddest->first))
        oddest = step;
  if (oddest) return oddest->second;
  for (std::size_t i = 0; i < patches.size(); ++i)
    for (std::size_t k = i + 1; k < patches.size(); ++k)
      if (const auto seam = seam_between(patches[i], patches[k], unit, quad.lens)) return seam;
  return std::nullopt;
}

}  // namespace

std::vector<TrayQuad> split_at_steps(const LatticeMaps& maps, const TrayQuad& quad) {
  std::vector<Patch> patches = grow_patches(maps, quad);
  const auto seam = find_step(patches, quad);
  if (!seam) {
    TrayQuad whole = quad;
    whole.patches = std::move(patches);
    return {whole};
  }
  std::vector<TrayQuad> parts;
  constexpr double kSliver = 0.01;  // of a quad
  for (const TrayQuad& half : halves(quad, *seam))
    if (half.area > kSliver * quad.area)
      for (const TrayQuad& part : split_at_steps(maps, half)) parts.push_back(part);
  return parts;
}

}  // namespace braird::vision
