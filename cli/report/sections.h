// SPDX-License-Identifier: Apache-2.0
// The parts of the page, one function each, from the smallest to the largest.
#pragma once

#include <string>

#include "cli/report/plots.h"
#include "cli/report/report.h"

namespace braird::report {

/// How a part stands in the page: under its own heading, folded until asked for, or under its parent's
/// heading where it is all that the parent has.
enum class Shown { open, folded, alone };

std::string tray_section(const TrayReport& tray, Shown shown);
std::string sowing_section(const SowingReport& sowing, Shown shown);
std::string lot_section(const LotSection& lot, Shown shown, Scope scope);

/// Photos that could not be counted, why, and how to tell where their cells are; empty without any.
std::string uncounted_section(const std::vector<Uncounted>& photos);

/// The season's lots in a table, with links to their sections.
std::string lots_table(const std::vector<LotSection>& lots);

/// Choices for the trays that stand there, and seeds a cell for the next ones: what `braird advise` says.
std::string choices_section(const AdviceReport& advice);
std::string next_batch_section(const AdviceReport& advice, const std::string& count_first);

/// Figures with their captions; empty where there is nothing to draw.
std::string course_figure(const TrayReport& tray);
std::string spread_figure(const SowingReport& sowing);
std::string trend_figure(const LotSection& lot);

/// How a tray is called: by its tag, or by its photo.
std::string tray_title(const TrayReport& tray);

/// What is said of a sowing, and when it was.
std::string sowing_title(const ledger::SowingSummary& sowing);
std::string sowing_words(const ledger::SowingSummary& sowing);

/// A figure and what is said of it, side by side where there is room; `words` are HTML.
std::string beside(const std::string& figure, const std::string& words);

/// A rate and its interval in a table's cell, as HTML.
std::string rate_cell(const std::optional<Estimate>& rate);

/// A rate as a line of figures: name, rate, interval, and the interval drawn.
std::string rate_figure(const char* name, const std::optional<Estimate>& rate,
                        const std::vector<Mark>& marks = {});

/// Where the lot's anchor is in the page.
std::string lot_anchor(const std::string& name);

}  // namespace braird::report
