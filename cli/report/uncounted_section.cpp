// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "cli/report/html.h"
#include "cli/report/sections.h"
#include "cli/report/words.h"

namespace braird::report {
namespace {

std::string told_shape(const Uncounted& photo) {
  return photo.told ? fmt::format("{}x{}", photo.told->rows, photo.told->cols) : "";
}

/// The photo, to tap its corner cells in, and the command that these make.
std::string corners(const Uncounted& photo) {
  const bool staggered = photo.told && photo.told->lattice == LatticeKind::staggered;
  return paragraph(words::kCornersHow, "hint") +
         fmt::format(
             "<div class=\"picture\" tabindex=\"0\" role=\"group\" aria-label=\"{}\"><img alt=\"{}\" "
             "width=\"{}\" "
             "height=\"{}\" src=\"data:image/jpeg;base64,{}\"><svg aria-hidden=\"true\"></svg></div>\n",
             escaped(words::kCornersAloud), escaped(photo.file), photo.photo->width, photo.photo->height,
             base64(photo.photo->jpeg)) +
         fmt::format(
             "<p class=\"told\"><label>{} <input name=\"tray\" value=\"{}\" placeholder=\"8x16\" "
             "size=\"12\"></label> "
             "<label><input type=\"checkbox\" name=\"staggered\"{}> {}</label> <button "
             "type=\"button\">{}</button></p>\n<p role=\"status\"></p>\n<pre><code hidden></code></pre>\n",
             escaped(words::kCornersTray), told_shape(photo), staggered ? " checked" : "",
             escaped(words::kCornersStaggered), escaped(words::kCornersAgain));
}

}  // namespace

std::string uncounted_section(const std::vector<Uncounted>& photos) {
  if (photos.empty()) return "";
  std::string html = heading(2, words::kUncounted);
  for (const Uncounted& photo : photos)
    html +=
        fmt::format("<section class=\"uncounted\" data-photo=\"{}\" data-scale=\"{}\">\n{}{}{}</section>\n",
                    escaped(photo.file), photo.photo ? photo.photo->scale : 1, heading(3, photo.file),
                    paragraph(photo.why), photo.photo ? corners(photo) : "");
  return html;
}

}  // namespace braird::report
