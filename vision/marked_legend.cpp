// SPDX-License-Identifier: Apache-2.0
#include "vision/marked_legend.h"

#include <algorithm>
#include <vector>

#include "vision/cell_marks.h"

namespace braird::vision {
namespace {

const cv::Scalar kSoil(60, 70, 85);
constexpr double kWordHeight = 0.7;  // of half an entry's cell

/// One entry of a line: a cell with its mark, and what the mark means.
struct Entry {
  std::string words;
  CellState state;
  bool review = false;
  bool numbered = false;
};

void write(cv::Mat& strip, const std::string& words, const cv::Point& origin, double half) {
  const double scale = kWordHeight * half / kFontHeight;
  cv::putText(strip, words, origin, kFont, scale, kLight, std::max(1, cvRound(2 * scale)), cv::LINE_AA);
}

void draw_entry(cv::Mat& strip, const Entry& entry, double left, double half) {
  const Pen pen{strip, half};
  const Frame cell{{left + half, strip.rows / 2.0}, {half, 0}, {0, half}};
  cv::rectangle(strip, cell.at(-1, -1), cell.at(1, 1), kSoil, cv::FILLED);
  if (entry.review)
    draw_review_flag(pen, cell);
  else
    draw_state(pen, cell, entry.state);
  if (entry.numbered) pen.text("1", cell.centre, 0.7);
  write(strip, entry.words, cell.at(1.5, 0.35), half);
}

std::vector<Entry> entries_of(const Tray& tray, Counted counted) {
  const TraySummary sum = summarise(tray);
  std::vector<Entry> entries = {{"gap: " + std::to_string(sum.empty), CellState::empty},
                                {"one: " + std::to_string(sum.single), CellState::single},
                                {"several: " + std::to_string(sum.multiple), CellState::multiple},
                                {"look here: " + std::to_string(sum.review), CellState::empty, true}};
  if (counted == Counted::seeds) entries.push_back({"order of adding seeds", CellState::empty, false, true});
  return entries;
}

double half_entry(int width) {
  return std::clamp(width / 100.0, 4.0, 30.0);
}

}  // namespace

double legend_word_height(int width) {
  return kWordHeight * half_entry(width);
}

cv::Mat legend_line(int width, const Tray& tray, Counted counted, const std::string& name) {
  const double half = half_entry(width);
  cv::Mat strip(cvRound(3.4 * half), width, CV_8UC3, kDark);
  const double indent = name.empty() ? 0 : (static_cast<double>(name.size()) * kWordHeight + 1) * half;
  write(strip, name, cv::Point2d(half, strip.rows / 2.0 + 0.35 * half), half);
  const std::vector<Entry> entries = entries_of(tray, counted);
  double left = half + indent;
  for (const Entry& entry : entries) {
    draw_entry(strip, entry, left, half);
    left += (width - indent) / static_cast<double>(entries.size());
  }
  return strip;
}

}  // namespace braird::vision
