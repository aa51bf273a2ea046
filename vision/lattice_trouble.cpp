// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice_trouble.h"

#include <fmt/format.h>

namespace braird::vision {
namespace {

constexpr double kBeyondFrame = 0.12;  // pitches by which a whole tray's cells may seem to leave the photo
const std::string kStepBack = "step back until the whole rim is in the picture";

std::string name_of_layout(const Layout& layout) {
  return fmt::format("{}×{} {}", layout.rows, layout.cols, name_of(layout.lattice));
}

}  // namespace

std::string in_words(const Trouble& trouble) {
  return trouble.reason + "; " + trouble.remedy;
}

std::string side_left(const Lattice& lattice, const cv::Rect& frame) {
  const cv::Rect2d hull = hull_of(lattice);
  for (const double u : {hull.x, hull.x + hull.width / 2, hull.br().x})
    for (const double v : {hull.y, hull.y + hull.height / 2, hull.br().y}) {
      const cv::Point2d at = photo_point(lattice, {u, v});
      const double off = kBeyondFrame * pitch_at(lattice, {u, v});
      if (at.x < frame.x - off) return "left";
      if (at.x > frame.br().x - 1 + off) return "right";
      if (at.y < frame.y - off) return "upper";
      if (at.y > frame.br().y - 1 + off) return "lower";
    }
  return "";
}

Trouble cut_off(const std::string& side) {
  return {fmt::format("a tray is cut off by the {} edge of the photo and was not counted", side), kStepBack};
}

Trouble unclear(const std::optional<LatticeChoice>& choice, bool told) {
  const std::string again = "photograph it from straight above in even light",
                    remedy = again + (told ? ", or give its corner cells with --corners"
                                           : ", or state its layout with --tray");
  if (!choice || !choice->rival || choice->lattice.fit < 0.3)
    return {"a tray was seen, but its rows and columns could not be made out", remedy, true};
  const std::string first = name_of_layout(layout_of(choice->lattice)),
                    second = name_of_layout(*choice->rival);
  // The same layout at two places, or with other rows shifted.
  if (first == second)
    return {fmt::format("a tray was seen, {}, but not where its cells stand", first), remedy, true};
  return {fmt::format("a tray was seen, but it is unclear whether it is {} or {}", first, second), remedy,
          true};
}

Trouble not_as_stated(const Layout& seen, const Hints& stated) {
  const std::string reason =
      fmt::format("the tray in the photo looks {}, not as stated", name_of_layout(seen));
  if (stated.stated_by.empty())
    return {reason, fmt::format("correct {} or leave it out", stated.rows ? "--tray" : "--lattice")};
  return {reason + " by " + stated.stated_by, "if that is wrong, tell the tray's shape with --tray"};
}

Trouble hidden_side(bool told) {
  const std::string shows_whole = told ? "; if all of it shows, give its corner cells with --corners"
                                       : "; if all of it shows, state its layout with --tray";
  return {"a tray is partly hidden or cut off along a row and was not counted",
          "clear what lies over it, or " + kStepBack + shows_whole, true};
}

Trouble alike_but_for_rows(const Layout& one, const Layout& other) {
  return {fmt::format("two trays look of one make, but one {} and the other {}, so neither was counted",
                      name_of_layout(one), name_of_layout(other)),
          "clear what lies over their edges, or state --tray"};
}

Trouble perhaps_part(const Layout& part) {
  return {fmt::format("{} cells may be a part of a tray across which something lies and were not counted",
                      name_of_layout(part)),
          "clear it away, shadows and streaks of light too, or state --tray"};
}

Trouble perhaps_several(const Layout& whole, const Layout& part) {
  return {fmt::format("{} cells, seen beside a tray of {}, may be trays that touch and were not counted",
                      name_of_layout(whole), name_of_layout(part)),
          "move the trays apart, or state --tray"};
}

Trouble perhaps_several(const Layout& seen) {
  return {fmt::format("{} cells may be trays that touch and were not counted", name_of_layout(seen)),
          "move the trays apart, or state --tray"};
}

}  // namespace braird::vision
