// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/report/html.h"
#include "cli/report/photo_marks.h"
#include "cli/report/plots.h"
#include "cli/report/sections.h"
#include "cli/report/tray_map.h"
#include "cli/report/words.h"

namespace braird::report {
namespace {

using Json = nlohmann::ordered_json;

std::string age_of(const TrayReport& tray) {
  std::string html;
  if (tray.day) html += escaped(fmt::format(words::kDay, std::floor(*tray.day)));
  if (tray.taken)
    html += fmt::format("{}{}", html.empty() ? "" : ", ",
                        fmt::format(words::kTaken, whole(tray.taken->substr(0, 10))));
  return html;
}

std::string figures(const TrayReport& tray) {
  const TraySummary& sum = tray.evidence.summary;
  std::string html = "<ul class=\"figures\">";
  const auto add = [&](int number, const std::string& words) {
    html += fmt::format("<li><b>{}</b> {}</li>", number, escaped(words));
  };
  add(sum.cells, words::kCells[sum.cells != 1]);
  add(sum.empty, words::kGapsCounted[sum.empty != 1]);
  add(sum.single, words::kWithOne);
  add(sum.multiple, words::kWithSeveral);
  add(sum.seedlings, words::kSeedlings[sum.seedlings != 1]);
  return html + "</ul>\n";
}

std::string views(const TrayReport& tray) {
  const bool wide = tray.tray.layout.cols > 12 && tray.tray.layout.cols > tray.tray.layout.rows;
  std::string html =
      fmt::format("<div class=\"views\"><figure class=\"{}\"><figcaption>{}</figcaption>{}</figure>",
                  wide ? "wide" : "tall", escaped(words::kMap), tray_map(tray));
  if (tray.photo)
    html += fmt::format(
        "<figure class=\"photo\"><figcaption>{} <button type=\"button\" class=\"toggle\" "
        "aria-pressed=\"true\">{}"
        "</button></figcaption><div class=\"stack\">{}</div></figure>",
        escaped(words::kPhoto), escaped(words::kMarks), marked_photo(tray));
  html += "</div>\n" + legend(tray);
  if (!tray.photo) html += paragraph(tray.why_no_photo, "note");
  if (!tray.to_check.empty())
    html += fmt::format("<p><button type=\"button\" class=\"walk\" data-walk=\"{}\">{}</button></p>\n",
                        tray.id, escaped(fmt::format(words::kWalk, tray.to_check.size())));
  return html + paragraph(words::kTapHint, "hint");
}

std::string findings(const TrayReport& tray) {
  if (tray.findings.empty()) return "";
  std::string html = heading(4, words::kWhereToLook) + "<ol class=\"findings\">";
  for (const Finding& finding : tray.findings) html += fmt::format("<li>{}</li>", escaped(finding.sentence));
  return html + "</ol>\n";
}

/// What page.js needs to know of a tray: counts, where cells are in the page's photo, what was checked and
/// what to check.
std::string data_of(const TrayReport& tray) {
  Json data = {{"id", tray.id},
               {"tray", tray.name},
               {"photo", tray.key},
               {"rows", tray.tray.layout.rows},
               {"cols", tray.tray.layout.cols}};
  for (const Cell& cell : tray.tray.cells) {
    data["counts"].push_back(cell.count);
    if (!tray.photo) continue;
    data["x"].push_back(std::lround((cell.centre_px.x - tray.photo->origin.x) * tray.photo->scale));
    data["y"].push_back(std::lround((cell.centre_px.y - tray.photo->origin.y) * tray.photo->scale));
  }
  if (tray.photo) data["pitch"] = std::lround(tray.tray.pitch_px * tray.photo->scale);
  data["look"] = data["hand"] = data["walk"] = data["drawn"] = Json::array();
  for (std::size_t at = 0; at < tray.tray.cells.size(); ++at)
    if (tray.tray.cells[at].review) data["look"].push_back(at);
  for (const ledger::HandCheck& check : tray.hand) data["hand"].push_back(check.cell);
  for (const ledger::CheckProposal& proposal : tray.to_check)
    data[proposal.drawn ? "drawn" : "walk"].push_back(proposal.cell);
  return fmt::format("<script type=\"application/json\" class=\"tray-data\">{}</script>\n",
                     script_json(data));
}

std::string advice_words(const TrayReport& tray) {
  return fmt::format("<p class=\"advice\"><strong>{}</strong> {}</p>\n", escaped(tray.advice.what),
                     escaped(tray.advice.why));
}

std::string content(const TrayReport& tray) {
  std::string html = advice_words(tray) + figures(tray) + "<div class=\"rates\">" +
                     rate_figure(words::kGermination, tray.rates.germination) +
                     rate_figure(words::kGaps, tray.rates.gaps) + "</div>\n";
  if (!tray.hand.empty()) {
    const auto many = static_cast<int>(tray.hand.size());
    html += paragraph(fmt::format(fmt::runtime(words::kHandChecked[many != 1]), many), "note");
  }
  for (const std::string& remark : tray.remarks) html += paragraph(fmt::format(words::kNote, remark), "note");
  return html + views(tray) + findings(tray) + course_figure(tray) + data_of(tray);
}

}  // namespace

std::string tray_title(const TrayReport& tray) {
  if (!tray.tagged && tray.place.many > 1)
    return fmt::format(words::kTrayOfSeveral, tray.place.number, tray.place.many, tray.name);
  return fmt::format(fmt::runtime(tray.tagged ? words::kTray : words::kTrayWithoutTag), tray.name);
}

std::string course_figure(const TrayReport& tray) {
  if (!tray.course) return "";
  return fmt::format("<figure class=\"half\"><figcaption>{}</figcaption>{}</figure>\n",
                     escaped(words::kCourse), course_plot(*tray.course, tray.in_the_end));
}

std::string tray_section(const TrayReport& tray, Shown shown) {
  const std::string title = escaped(tray_title(tray)), age = age_of(tray);
  if (shown == Shown::alone)
    return fmt::format("<section class=\"tray\" id=\"{}\">\n{}</section>\n", tray.id, content(tray));
  if (shown == Shown::open)
    return fmt::format("<section class=\"tray\" id=\"{}\"><h3>{} <small>{}</small></h3>\n{}</section>\n",
                       tray.id, title, age, content(tray));
  const std::size_t found = tray.findings.size();
  const std::string rates = fmt::format(
      "{} {}{}", escaped(words::kGaps), escaped(rate_words(tray.evidence.gaps)),
      found == 0 ? ""
                 : fmt::format(", <em>{}</em>",
                               escaped(fmt::format(fmt::runtime(words::kStandsOut[found != 1]), found))));
  return fmt::format(
      "<details class=\"tray\" id=\"{}\"><summary>{}<span><b>{}</b> "
      "<small>{}</small><br>{}</span></summary>\n{}</details>\n",
      tray.id, gap_picture(tray), title, age, rates, content(tray));
}

}  // namespace braird::report
