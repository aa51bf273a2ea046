// SPDX-License-Identifier: Apache-2.0
#include "cli/report/plots.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "calibration/cell_outlook.h"
#include "calibration/emergence_fit.h"
#include "cli/report/html.h"
#include "cli/report/words.h"

namespace braird::report {
namespace {

constexpr double kWidth = 320, kHeight = 170, kLeft = 40, kRight = 10, kTop = 12, kBottom = 30;  // units
constexpr std::size_t kMostDates = 3;      // that stand side by side without touching
constexpr double kBeside = 66, kKey = 16;  // for words right of a plot, and for the key below it

std::string text_at(double x, double y, const std::string& words, const char* anchor = "middle") {
  return fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\">{}</text>", x, y, anchor,
                     escaped(words));
}

std::string stroke(const char* kind, double x1, double y1, double x2, double y2) {
  return fmt::format("<path class=\"{}\" d=\"M{:.1f} {:.1f}L{:.1f} {:.1f}\"/>", kind, x1, y1, x2, y2);
}

std::string opened(const std::string& kind, const std::string& aloud, double width, double height) {
  return fmt::format("<svg class=\"plot {}\" role=\"img\" aria-label=\"{}\" viewBox=\"0 0 {:.0f} {:.0f}\">",
                     kind, escaped(aloud), width, height);
}

/// A round step that divides `most` into about five.
double step_for(double most) {
  const double rough = std::max(most, 1e-9) / 5, power = std::pow(10, std::floor(std::log10(rough)));
  for (const double step : {1., 2., 5., 10.})
    if (step * power >= rough) return step * power;
  return 10 * power;
}

/// From figures to places in the plot.
struct Axes {
  double x_most = 1, y_most = 1;
  double right = kWidth - kRight;
  double x(double value) const { return kLeft + value / x_most * (right - kLeft); }
  double y(double value) const { return kHeight - kBottom - value / y_most * (kHeight - kTop - kBottom); }
};

std::string y_axis(const Axes& axes, double factor = 1, const char* unit = "") {
  const double step = step_for(axes.y_most * factor) / factor;
  std::string svg;
  for (int line = 0; line * step <= axes.y_most * (1 + 1e-9); ++line) {
    const double at = line * step;
    svg += stroke("grid", kLeft, axes.y(at), axes.right, axes.y(at)) +
           text_at(kLeft - 4, axes.y(at) + 3.5, fmt::format("{:.0f}{}", at * factor, unit), "end");
  }
  return svg;
}

/// An interval upright, its rate as a dot.
std::string upright(double x, const Axes& axes, const Estimate& rate, const char* kind = "") {
  return fmt::format("<g class=\"{}\">{}<circle class=\"dot\" cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"4\"/></g>",
                     kind, stroke("range", x, axes.y(rate.low), x, axes.y(rate.high)), x,
                     axes.y(rate.estimate));
}

std::string tick_words(double share, double most) {
  return most > 1 ? fmt::format("{:.1f}", share)
                  : fmt::format("{:.0f}{}", 100 * share, share == most ? " %" : "");
}

/// A mark as the plot draws it, around 0, 0.
std::string sample(const std::string& kind) {
  if (kind == "bar") return "<rect class=\"bar\" x=\"-6\" y=\"-4\" width=\"12\" height=\"8\"/>";
  if (kind == "seen") return "<rect class=\"seen\" x=\"-3.5\" y=\"-3.5\" width=\"7\" height=\"7\"/>";
  if (kind == "range") return stroke("range", 0, -4, 0, 4);
  return stroke(kind.c_str(), -7, 0, 7, 0);
}

std::string key(std::initializer_list<std::pair<const char*, std::string>> entries) {
  constexpr double mark = 16, letter = 5.5, gap = 10;
  double left = 14;
  std::string svg = "<g class=\"key\">";
  for (const auto& [kind, words] : entries) {
    svg += fmt::format("<g transform=\"translate({:.1f} {:.1f})\">{}{}</g>", left, kHeight + kKey / 2,
                       sample(kind), text_at(mark - 6, 3, words, "start"));
    left += mark + letter * static_cast<double>(words.size()) + gap;
  }
  return svg + "</g>";
}

std::string spread_aloud(const CountSpread& spread) {
  std::string text;
  for (std::size_t k = 0; k < spread.cells.size(); ++k) {
    text += fmt::format("{}{}", text.empty() ? "" : "; ", fmt::format(words::kSpreadOne, spread.cells[k], k));
    if (!spread.by_chance.empty()) text += fmt::format(words::kSpreadByChance, spread.by_chance[k]);
  }
  return fmt::format(words::kSpreadAloud, text);
}

/// How many of the plot's own plants there will be: as the course leads to, and no fewer than are up.
std::optional<Estimate> plants_in_the_end(const Inspections& seen, const std::optional<Estimate>& rate,
                                          double day) {
  if (!rate) return std::nullopt;
  const auto fit = fit_emergence(seen);
  const double low = std::max(seen.came_up.back(), rate->low * seen.sown);
  const double high = std::max(low, rate->high * seen.sown);
  const double likeliest = seen.sown * (fit ? fit->share_at(day) : rate->estimate);
  return Estimate{std::clamp(likeliest, low, high), low, high, rate->method};
}

std::string course_aloud(const Inspections& seen, const std::optional<Estimate>& end) {
  std::string text;
  for (std::size_t at = 0; at < seen.times.size(); ++at)
    text +=
        fmt::format("{}{}", at ? ", " : "", fmt::format(words::kCourseOne, seen.came_up[at], seen.times[at]));
  return fmt::format(words::kCourseAloud, text,
                     end ? fmt::format(words::kCourseEndAloud, end->estimate, end->low, end->high) : "");
}

std::string fitted(const Inspections& seen, const Axes& axes) {
  const auto fit = fit_emergence(seen);
  if (!fit) return "";
  std::string path;
  constexpr int pieces = 60;
  for (int at = 0; at <= pieces; ++at) {
    const double time = axes.x_most * at / pieces;
    path +=
        fmt::format("{}{:.1f} {:.1f}", at ? "L" : "M", axes.x(time), axes.y(fit->share_at(time) * seen.sown));
  }
  return fmt::format("<path class=\"fit\" d=\"{}\"/>", path);
}

}  // namespace

std::string rate_bar(const std::string& name, const Estimate& rate, const std::vector<Mark>& marks) {
  constexpr double width = 300, left = 8, span = width - 2 * left;
  const double y = marks.size() > 1 ? 20 : 11, height = y + 19;
  const double most = std::max(1., std::ceil(rate.high));
  const auto x = [&](double share) { return left + std::clamp(share / most, 0., 1.) * span; };
  std::string svg = opened("rate", fmt::format(words::kRateAloud, name, rate_words(rate), range_words(rate)),
                           width, height);
  svg += stroke("rail", x(0), y, x(most), y);
  for (int tick = 0; tick <= 4; ++tick) {
    svg += stroke("tick", x(most * tick / 4), y - 3, x(most * tick / 4), y + 3);
    if (marks.empty() && tick % 2 == 0)
      svg += text_at(tick == 4 ? width : x(most * tick / 4), height - 1, tick_words(most * tick / 4, most),
                     tick == 4 ? "end" : "middle");
  }
  bool above = false;  // two marks may be near each other
  for (const Mark& mark : marks) {
    svg += stroke("mark", x(mark.share), y - 9, x(mark.share), y + 9);
    svg += text_at(std::clamp(x(mark.share), 30., width - 30), above ? 8 : height - 1, mark.words);
    above = !above;
  }
  svg += stroke("range", x(rate.low), y, x(rate.high), y);
  return svg + fmt::format("<circle class=\"dot\" cx=\"{:.1f}\" cy=\"{:.0f}\" r=\"5\"/></svg>",
                           x(rate.estimate), y);
}

CountSpread count_spread(const std::vector<int>& counts, int seeds) {
  CountSpread spread;
  double up = 0;
  for (const int count : counts) {
    if (spread.cells.size() <= static_cast<std::size_t>(count))
      spread.cells.resize(static_cast<std::size_t>(count) + 1);
    ++spread.cells[static_cast<std::size_t>(count)];
    up += std::min(count, seeds);
  }
  const double cells = static_cast<double>(counts.size());
  spread.by_chance = seedling_chances(drop_of(seeds, {}), cells > 0 ? up / cells / seeds : 0, 0);
  for (double& chance : spread.by_chance) chance *= cells;
  const std::size_t size = std::max(spread.cells.size(), spread.by_chance.size());
  spread.cells.resize(size);
  spread.by_chance.resize(size);
  return spread;
}

std::string spread_plot(const CountSpread& spread) {
  const bool compared = !spread.by_chance.empty();
  const double most =
      std::max<double>(std::ranges::max(spread.cells), compared ? std::ranges::max(spread.by_chance) : 0);
  const Axes axes{static_cast<double>(spread.cells.size()), most * 1.08};
  const double half = std::min(22., (axes.x(1) - axes.x(0)) * .34);
  std::string svg = opened("spread", spread_aloud(spread), kWidth, kHeight + kKey) + y_axis(axes);
  for (std::size_t k = 0; k < spread.cells.size(); ++k) {
    const double x = axes.x(static_cast<double>(k) + .5), top = axes.y(spread.cells[k]);
    svg += fmt::format("<rect class=\"bar\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\"/>",
                       x - half, top, 2 * half, axes.y(0) - top);
    if (compared)
      svg += stroke("chance", x - half - 4, axes.y(spread.by_chance[k]), x + half + 4,
                    axes.y(spread.by_chance[k]));
    svg += text_at(x, kHeight - kBottom + 14, std::to_string(k));
  }
  svg += compared ? key({{"bar", words::kSpreadCounted}, {"chance", words::kSpreadChance}})
                  : key({{"bar", words::kSpreadCounted}});
  return svg + "</svg>\n";
}

std::string course_plot(const Inspections& seen, const std::optional<Estimate>& rate) {
  const double last = seen.times.back() * 1.5;
  const auto end = plants_in_the_end(seen, rate, last);
  const Axes axes{last, std::max({1e-9 * seen.sown, std::min(seen.sown, end ? end->high * 1.05 : seen.sown),
                                  seen.came_up.back()})};
  std::string svg = opened("course", course_aloud(seen, end), kWidth, kHeight + kKey) + y_axis(axes);
  const double step = step_for(last);
  for (int mark = 0; mark * step <= last; ++mark)
    svg += text_at(axes.x(mark * step), kHeight - kBottom + 13, fmt::format("{:.0f}", mark * step));
  svg += text_at(kWidth - kRight, kHeight - 3, words::kCourseDays, "end");
  svg += fitted(seen, axes);
  if (end) svg += upright(axes.x(last) - 6, axes, *end);
  for (std::size_t at = 0; at < seen.times.size(); ++at)
    svg += fmt::format("<rect class=\"seen\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"7\" height=\"7\"/>",
                       axes.x(seen.times[at]) - 3.5, axes.y(seen.came_up[at]) - 3.5);
  svg += end ? key({{"seen", words::kCourseUp}, {"fit", words::kCourseFit}, {"range", words::kCourseEnd}})
             : key({{"seen", words::kCourseUp}, {"fit", words::kCourseFit}});
  return svg + "</svg>\n";
}

std::string trend_plot(const std::vector<TrendPoint>& sowings, const std::vector<Mark>& marks) {
  double most = 1;
  std::string aloud;
  for (const TrendPoint& point : sowings) {
    most = std::max(most, point.germination.high);
    aloud += fmt::format("{}{} {} ({})", aloud.empty() ? "" : "; ", point.sown_on,
                         rate_words(point.germination), range_words(point.germination));
  }
  const Axes axes{static_cast<double>(sowings.size()), most, kWidth - kBeside};
  std::string svg =
      opened("trend", fmt::format(words::kTrendAloud, aloud), kWidth, kHeight) + y_axis(axes, 100, " %");
  for (const Mark& mark : marks) {
    svg += stroke("mark", kLeft, axes.y(mark.share), axes.right, axes.y(mark.share));
    svg += text_at(axes.right + 4, axes.y(mark.share) + 3, mark.words, "start");
  }
  const std::size_t every = (sowings.size() + kMostDates - 1) / kMostDates;
  for (std::size_t at = 0; at < sowings.size(); ++at) {
    const double x = axes.x(static_cast<double>(at) + .5);
    svg += upright(x, axes, sowings[at].germination, at + 1 == sowings.size() ? "latest" : "");
    if ((sowings.size() - 1 - at) % every == 0)
      svg += text_at(x, kHeight - kBottom + 14, sowings[at].sown_on);
  }
  return svg + "</svg>\n";
}

}  // namespace braird::report
