// SPDX-License-Identifier: Apache-2.0
#include "cli/report/page.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "calibration/hex.h"
#include "cli/report/assets.h"
#include "cli/report/html.h"
#include "cli/report/marks.h"
#include "cli/report/sections.h"
#include "cli/report/words.h"
#include "cli/text/cautions.h"

namespace braird::report {
namespace {

/// Only this very program may run, and nothing may be fetched or sent.
std::string policy() {
  return fmt::format(
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src "
      "'unsafe-inline'; script-src 'sha256-{}'; base-uri 'none'; form-action 'none'\">\n",
      base64(bytes_of_hex(kScriptSha256).value()));
}

std::string head(const Report& report) {
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n{}<meta name=\"viewport\" "
      "content=\"width=device-width, initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light "
      "dark\">\n<title>{}</title>\n<style>{}{}</style>\n</head>\n",
      words::kLanguage, policy(), escaped(report.title), kFigureStyle, kPageStyle);
}

std::string script_words() {
  nlohmann::ordered_json said;
  for (const auto& [name, text] : words::kScript) said[name] = text;
  said["inCell"] = words::kInCell;
  return fmt::format("<script type=\"application/json\" id=\"words\">{}</script>\n", script_json(said));
}

cli::SeedKind seed_of(const Report& report) {
  cli::SeedKind seed;
  for (const LotSection& lot : report.lots)
    seed.treated = seed.treated || lot.detail.summary.facts.treated.value_or(false);
  return seed;
}

std::string foot(const Report& report) {
  std::string html = "<footer>\n" + paragraph(words::kScaleNote) + paragraph(words::kHow);
  std::string care;
  for (const std::string& sentence : cli::cautions(seed_of(report)))
    care += (care.empty() ? "" : " ") + sentence;
  html += fmt::format("<p><b>{}</b> {}</p>\n", words::kCare, escaped(care));
  return html + paragraph(fmt::format(words::kMadeOn, report.made_on, report.version)) + "</footer>\n";
}

/// A lone lot stands under the page's title, unless that is the season's.
Shown shown_as(const Report& report) {
  if (report.lots.size() > 1) return report.scope == Scope::season ? Shown::folded : Shown::open;
  return report.scope == Scope::season ? Shown::open : Shown::alone;
}

std::string body(const Report& report) {
  std::string html = heading(1, report.title);
  if (report.lots.empty() && report.uncounted.empty()) html += paragraph(words::kNothingKept);
  if (report.scope == Scope::season && !report.lots.empty()) html += lots_table(report.lots);
  if (report.without_trays) html += paragraph(words::kTooManyTrays, "note");
  for (const LotSection& lot : report.lots) html += lot_section(lot, shown_as(report), report.scope);
  return html + uncounted_section(report.uncounted);
}

}  // namespace

std::string page(const Report& report) {
  return head(report) +
         fmt::format(
             "<body>\n<svg class=\"definitions\" aria-hidden=\"true\"><defs>{}</defs></svg>\n<main "
             "id=\"top\">\n{}</main>\n",
             mark_definitions(), body(report)) +
         foot(report) + "<aside id=\"editor\" hidden></aside>\n" + script_words() +
         fmt::format("<script>{}</script>\n</body>\n</html>\n", kScript);
}

}  // namespace braird::report
