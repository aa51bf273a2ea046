// SPDX-License-Identifier: Apache-2.0
#include "cli/report/tray_map.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "calibration/profiles.h"
#include "cli/report/html.h"
#include "cli/report/marks.h"
#include "cli/report/words.h"

namespace braird::report {
namespace {

constexpr double kPitch = 20, kMargin = 20;  // units

/// Where cells stand on the map.
struct Plan {
  Layout layout;
  double row_pitch = kPitch, shift = 0;  ///< of every second row
  double width = 0, height = 0;

  Point centre(int row, int col) const {
    return {kMargin + kPitch / 2 + std::max(0., -shift) + col * kPitch + (row % 2) * shift,
            kMargin + kPitch / 2 + row * row_pitch};
  }
  Point centre(std::size_t cell) const {
    return centre(static_cast<int>(cell) / layout.cols, static_cast<int>(cell) % layout.cols);
  }
};

/// From row to row in pitches: as the list of trays says; else of an even honeycomb, or square.
double row_step(const Layout& layout) {
  for (const TrayProfile& known : built_in_profiles().trays)
    if (known.layout == layout && known.pitch_mm > 0 && known.row_pitch_mm > 0)
      return known.row_pitch_mm / known.pitch_mm;
  return layout.lattice == LatticeKind::staggered ? std::sqrt(.75) : 1;
}

/// Are odd rows shifted towards lower columns? What the steps from row 0 to 1 and from 1 to 2 have in common
/// along a row is the tray's skew, what they differ in the shift.
bool shifted_back(const Tray& tray) {
  const int cols = tray.layout.cols;
  if (tray.layout.rows < 2 || cols < 2) return false;
  const auto place = [&](int row, int col) { return cell_at(tray, row, col).centre_px; };
  const auto along = [&](Point from, Point to) {
    const Point a = place(0, 0), b = place(0, cols - 1);
    return (to.x - from.x) * (b.x - a.x) + (to.y - from.y) * (b.y - a.y);
  };
  const double there = along(place(0, 0), place(1, 0));
  return tray.layout.rows < 3 ? there < 0 : there < along(place(1, 0), place(2, 0));
}

Plan plan_of(const Tray& tray) {
  Plan plan{tray.layout};
  plan.row_pitch = kPitch * std::clamp(row_step(tray.layout), .7, 1.6);
  if (tray.layout.lattice == LatticeKind::staggered)
    plan.shift = shifted_back(tray) ? -kPitch / 2 : kPitch / 2;
  plan.width = kMargin + tray.layout.cols * kPitch + std::abs(plan.shift) + 3;
  plan.height = kMargin + (tray.layout.rows - 1) * plan.row_pitch + kPitch + 3;
  return plan;
}

std::string numbers(const Plan& plan) {
  std::string text = "<g class=\"numbers\" aria-hidden=\"true\">";
  const auto add = [&](int number, Point at) {
    text += fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\">{}</text>", at.x, at.y, number);
  };
  for (int row = 0; row < plan.layout.rows; ++row) add(row + 1, {kMargin - 8, plan.centre(row, 0).y + 3});
  for (int col = 0; col < plan.layout.cols; ++col) add(col + 1, {plan.centre(0, col).x, kMargin - 5});
  const Point first = plan.centre(0, 0);
  return text + fmt::format(
                    "<text class=\"axis\" x=\"{:.1f}\" y=\"{:.1f}\">{}</text>"
                    "<text class=\"axis\" style=\"text-anchor:end\" x=\"{:.1f}\" y=\"{:.1f}\">{}</text></g>",
                    kMargin - 8, first.y - 6, words::kRow, first.x - 5, kMargin - 5, words::kColumn);
}

/// A band behind the cells of each finding.
std::string bands(const TrayReport& tray, const Plan& plan) {
  std::string path;
  for (const Finding& finding : tray.findings)
    for (const int cell : finding.cells) {
      const Point middle = plan.centre(static_cast<std::size_t>(cell));
      path += fmt::format("M{:.1f} {:.1f}h23v{:.1f}h-23z", middle.x - 11.5,
                          middle.y - plan.row_pitch / 2 - 1.5, plan.row_pitch + 3);
    }
  return path.empty() ? "" : fmt::format("<path class=\"band\" d=\"{}\"/>", path);
}

/// The findings' numbers, each at its first cell.
std::string badges(const TrayReport& tray, const Plan& plan) {
  std::string text;
  for (std::size_t at = 0; at < tray.findings.size(); ++at) {
    if (tray.findings[at].cells.empty()) continue;
    const Point first = plan.centre(static_cast<std::size_t>(tray.findings[at].cells.front()));
    text += fmt::format(
        "<g class=\"badge\" aria-hidden=\"true\" transform=\"translate({:.1f} {:.1f})\"><circle "
        "r=\"6\"/><text "
        "y=\"3\">{}</text></g>",
        first.x - 8, first.y - 8, at + 1);
  }
  return text;
}

std::string cell_element(const TrayReport& tray, const Plan& plan, std::size_t at, bool by_hand) {
  const Cell& cell = tray.tray.cells[at];
  const Point middle = plan.centre(at);
  std::string text = fmt::format(
      "<g role=\"gridcell\"{} aria-label=\"{}\" transform=\"translate({:.0f} {:.1f})\"><use "
      "href=\"#{}\"/><use href=\"#n{}\"/>",
      at == 0 ? " tabindex=\"0\"" : "", cell_words(tray.tray, at, by_hand), middle.x, middle.y,
      plan.layout.lattice == LatticeKind::staggered ? "w6" : "w4", std::min(cell.count, kMostDrawn));
  if (cell.review) text += "<use href=\"#look\"/>";
  if (by_hand) text += "<use href=\"#hand\"/>";
  return text + "</g>";
}

std::set<int> cells_by_hand(const TrayReport& tray) {
  std::set<int> cells;
  for (const ledger::HandCheck& check : tray.hand) cells.insert(check.cell);
  return cells;
}

std::string legend_entry(const std::string& uses, const char* words) {
  return fmt::format(
      "<li><svg viewBox=\"-11 -11 22 22\" aria-hidden=\"true\"><use href=\"#w4\"/>{}</svg>{}</li>", uses,
      escaped(words));
}

}  // namespace

std::string cell_words(const Tray& tray, std::size_t cell, bool by_hand) {
  const Cell& of = tray.cells[cell];
  const auto known = static_cast<int>(std::size(words::kInCell));
  const std::string many =
      of.count < known ? words::kInCell[of.count] : fmt::format(words::kManyInCell, of.count);
  std::string text = fmt::format(words::kCell, of.row + 1, of.col + 1, many);
  if (of.review) text += fmt::format(", {}", words::kCellLook);
  if (by_hand) text += fmt::format(", {}", words::kCellHand);
  return text;
}

std::string tray_map(const TrayReport& tray) {
  const Plan plan = plan_of(tray.tray);
  const std::set<int> by_hand = cells_by_hand(tray);
  const Layout& layout = plan.layout;
  std::string svg = fmt::format(
      "<div class=\"turn\" style=\"--w:{1:.0f};--h:{2:.0f}\"><svg class=\"map\" role=\"grid\" "
      "aria-label=\"{0}\" viewBox=\"0 0 {1:.0f} {2:.0f}\" data-tray=\"{3}\">",
      escaped(fmt::format(words::kMapAloud, tray.name, layout.rows, layout.cols)), plan.width, plan.height,
      tray.id);
  svg += numbers(plan) + bands(tray, plan);
  for (int row = 0; row < layout.rows; ++row) {
    svg += "<g role=\"row\">";
    for (int col = 0; col < layout.cols; ++col) {
      const int at = row * layout.cols + col;
      svg += cell_element(tray, plan, static_cast<std::size_t>(at), by_hand.contains(at));
    }
    svg += "</g>";
  }
  return svg + badges(tray, plan) + "</svg></div>\n";
}

std::string gap_picture(const TrayReport& tray) {
  const Plan plan = plan_of(tray.tray);
  std::string full, empty;
  for (std::size_t at = 0; at < tray.tray.cells.size(); ++at) {
    const Point middle = plan.centre(at);
    (tray.tray.cells[at].count > 0 ? full : empty) += fmt::format("M{:.0f} {:.0f}h.1", middle.x, middle.y);
  }
  return fmt::format(
      "<svg class=\"small\" viewBox=\"{0:.0f} {0:.0f} {1:.0f} {2:.0f}\" aria-hidden=\"true\"><path "
      "class=\"small-full\" "
      "d=\"{3}\"/><path class=\"small-gap\" d=\"{4}\"/></svg>",
      kMargin, plan.width - kMargin, plan.height - kMargin, full, empty);
}

std::string legend(const TrayReport& tray) {
  const bool found =
      std::ranges::any_of(tray.findings, [](const Finding& one) { return !one.cells.empty(); });
  std::string text = "<ul class=\"legend\">" + legend_entry("<use href=\"#n0\"/>", words::kLegendGap) +
                     legend_entry("<use href=\"#n1\"/>", words::kLegendOne) +
                     legend_entry("<use href=\"#n2\"/>", words::kLegendSeveral);
  if (tray.evidence.summary.review > 0) text += legend_entry("<use href=\"#look\"/>", words::kLegendLook);
  if (!tray.hand.empty()) text += legend_entry("<use href=\"#hand\"/>", words::kLegendHand);
  if (found)
    text += fmt::format(
        "<li><svg viewBox=\"-11 -11 22 22\" aria-hidden=\"true\"><rect class=\"band\" x=\"-11\" y=\"-11\" "
        "width=\"22\" "
        "height=\"22\"/><use href=\"#w4\"/></svg>{}</li>",
        escaped(words::kLegendFinding));
  return text + "</ul>\n";
}

}  // namespace braird::report
