// SPDX-License-Identifier: Apache-2.0
#include "cli/report/picture_files.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <map>
#include <set>
#include <stdexcept>

#include "cli/report/assets.h"
#include "cli/report/marks.h"
#include "cli/report/sections.h"
#include "cli/report/tray_map.h"
#include "cli/whole_file.h"
#include "vision/codecs/codec.h"
#include "vision/marked_photo.h"
#include "vision/photo.h"
#include "vision/shrink.h"

namespace braird::report {
namespace {

namespace fs = std::filesystem;

constexpr double kMarkedSide = 2400;  // px, of a marked photo

void replace_all(std::string& text, const std::string& from, const std::string& to) {
  for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size())
    text.replace(at, from.size(), to);
}

/// "--name: value" of the style's first block.
std::map<std::string, std::string> palette() {
  const std::string style = kFigureStyle;
  const std::size_t from = style.find(":root {") + 7;
  std::string block = style.substr(from, style.find('}', from) - from);
  std::map<std::string, std::string> values;
  for (std::size_t at = block.find("--"); at != std::string::npos; at = block.find("--", at)) {
    const std::size_t colon = block.find(':', at), end = block.find(';', at);
    values[block.substr(at, colon - at)] = block.substr(colon + 2, end - colon - 2);
    at = end;
  }
  return values;
}

std::string plain_style() {
  std::string style = kFigureStyle;
  style.erase(0, style.find('}') + 1);
  for (const auto& [name, value] : palette()) replace_all(style, "var(" + name + ")", value);
  replace_all(style, "var(--unturn, 0deg)", "0deg");
  return style;
}

std::string slug(const std::string& name) {
  std::string safe;
  for (const char letter : name)
    safe += std::isalnum(static_cast<unsigned char>(letter)) || letter == '-' || letter == '_' ? letter : '-';
  return safe.empty() ? "unnamed" : safe.substr(0, 60);
}

/// Files that don't overwrite each other.
struct Writer {
  fs::path folder;
  std::set<std::string> taken{};
  std::vector<fs::path> written{};

  void write(const std::string& stem, const std::string& ending, const std::string& content) {
    const auto put = ending.ends_with(".png") ? cli::write_picture : cli::write_whole_file;
    std::string name = stem + ending;
    for (int copy = 2; !taken.insert(name).second; ++copy) name = fmt::format("{}-{}{}", stem, copy, ending);
    put(folder / name, content);
    written.push_back(folder / name);
  }
};

std::string marked_png(const TrayReport& tray) {
  const vision::Photo photo = vision::load_photo(tray.photo_file);
  Census census;
  census.trays.push_back(tray.tray);
  const cv::Mat marked = vision::marked_photo(photo.bgr, census);
  return vision::encode_png(
      vision::shrunk(marked, std::min(1., kMarkedSide / std::max(marked.cols, marked.rows))));
}

void write_tray(const TrayReport& tray, Writer& writer) {
  const std::string name = slug(tray.tagged ? tray.name : fs::path(tray.name).stem().string());
  writer.write(name, "-map.svg", standalone_svg(tray_map(tray)));
  if (tray.photo) writer.write(name, "-marked.png", marked_png(tray));
  if (tray.course) writer.write(name, "-course.svg", standalone_svg(course_figure(tray)));
}

}  // namespace

std::string standalone_svg(const std::string& figure) {
  const std::size_t from = figure.find("<svg "), to = figure.find("</svg>", from);
  if (from == std::string::npos || to == std::string::npos) throw std::logic_error("no figure to write");
  std::string svg = figure.substr(from, to + 6 - from);
  replace_all(svg, "<use href=", "<use xlink:href=");
  const std::size_t inside = svg.find('>') + 1;
  svg.insert(inside, fmt::format("<style>{}</style><defs>{}</defs>", plain_style(), mark_definitions()));
  svg.insert(5, "xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" ");
  return svg + "\n";
}

std::vector<fs::path> write_pictures(const Report& report, const fs::path& folder) {
  std::error_code trouble;
  fs::create_directories(folder, trouble);
  if (!fs::is_directory(folder, trouble))
    throw std::runtime_error("the folder " + folder.string() + " cannot be made; choose another");
  Writer writer{folder};
  for (const LotSection& lot : report.lots) {
    const std::string name = slug(lot.detail.summary.facts.name);
    if (const std::string trend = trend_figure(lot); !trend.empty())
      writer.write(name, "-trend.svg", standalone_svg(trend));
    for (const SowingReport& sowing : lot.sowings) {
      for (const TrayReport& tray : sowing.trays) write_tray(tray, writer);
      if (const std::string spread = spread_figure(sowing); !spread.empty())
        writer.write(name + "-" + sowing.summary.facts.sown_on.value_or("undated"), "-counts.svg",
                     standalone_svg(spread));
    }
  }
  return writer.written;
}

}  // namespace braird::report
