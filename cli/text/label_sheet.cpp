// SPDX-License-Identifier: Apache-2.0
#include "cli/text/label_sheet.h"

#include <fmt/format.h>

#include <algorithm>

#include "calibration/figure_words.h"
#include "calibration/require.h"
#include "vision/label_code.h"

namespace braird::cli {
namespace {

constexpr double kLabelWidth = 62, kLabelHeight = 37, kBetween = 2, kMargin = 10;  // mm
constexpr int kAcross = 3;
constexpr int kQuiet = 4;                 // modules
constexpr std::size_t kLineLetters = 17;  // what fits beside the code

std::string escaped(const std::string& text) {
  std::string safe;
  for (const char c : text) {
    if (c == '&')
      safe += "&amp;";
    else if (c == '<')
      safe += "&lt;";
    else if (c == '>')
      safe += "&gt;";
    else if (static_cast<unsigned char>(c) >= 0x20)
      safe += c;
  }
  return safe;
}

bool continues_letter(char c) {
  return (c & 0xc0) == 0x80;
}

/// The first letters of a line, never half a letter of UTF-8.
std::string cut(const std::string& text, std::size_t letters) {
  std::size_t at = 0;
  for (; at < text.size(); ++at) {
    if (continues_letter(text[at])) continue;
    if (letters-- == 0) return text.substr(0, at) + "…";
  }
  return text;
}

/// The dark modules as a path, run by run, modules as unit.
std::string path_of(const cv::Mat& code) {
  std::string path;
  for (int y = 0; y < code.rows; ++y)
    for (int x = 0; x < code.cols; ++x) {
      const int from = x;
      while (x < code.cols && code.at<unsigned char>(y, x) == 0) ++x;
      if (x > from) path += fmt::format("M{} {}h{}v1h-{}z", from, y, x - from, x - from);
    }
  return path;
}

std::vector<std::string> lines_of(const TrayLabel& label) {
  std::vector<std::string> lines;
  if (label.lot) lines.push_back(*label.lot);
  if (label.crop) lines.push_back(*label.crop);
  if (const auto seeds = label.seeds_per_cell) lines.push_back(counted(*seeds, "seed", "seeds") + " a cell");
  if (label.sown_on) lines.push_back(*label.sown_on);
  if (label.tray) lines.push_back(*label.tray);
  return lines;
}

std::string text_at(double x, double y, double size, const std::string& words) {
  return fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" font-size=\"{}\">{}</text>\n", x, y, size,
                     escaped(words));
}

std::string label_at(double x, double y, const TrayLabel& label) {
  const cv::Mat code = vision::label_code(label_text(label));
  const double module = kLabelHeight / (code.rows + 2 * kQuiet),
               beside = x + module * (code.cols + kQuiet + 3);
  std::string svg = fmt::format("<path transform=\"translate({:.3f} {:.3f}) scale({:.4f})\" d=\"{}\"/>\n",
                                x + kQuiet * module, y + kQuiet * module, module, path_of(code));
  svg += text_at(beside, y + 9, 7, cut(label.tag, 8));
  double line_y = y + 15;
  for (const std::string& line : lines_of(label)) {
    svg += text_at(beside, line_y, 2.9, cut(line, kLineLetters));
    line_y += 4;
  }
  return svg + text_at(beside, y + kLabelHeight - 3, 2, "put it at row 1, column 1");
}

}  // namespace

std::string label_sheet(std::span<const TrayLabel> labels) {
  braird::require(!labels.empty() && labels.size() <= kLabelsASheet, "number of labels", labels.size(),
                  "1 to 21");
  std::string svg =
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"210mm\" height=\"297mm\" viewBox=\"0 0 210 297\" "
      "font-family=\"sans-serif\">\n<rect width=\"210\" height=\"297\" fill=\"white\"/>\n";
  for (std::size_t at = 0; at < labels.size(); ++at) {
    const std::size_t line = at / kAcross;
    const double col = static_cast<double>(at % kAcross), row = static_cast<double>(line);
    svg += label_at(kMargin + col * (kLabelWidth + kBetween), kMargin + row * (kLabelHeight + kBetween),
                    labels[at]);
  }
  return svg + "</svg>\n";
}

}  // namespace braird::cli
