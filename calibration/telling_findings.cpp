// SPDX-License-Identifier: Apache-2.0
#include "calibration/telling_findings.h"

#include <set>
#include <string>

#include "calibration/spread.h"

namespace braird {
namespace {

constexpr double kByChance = 0.05;  // of trays, a find where gaps lie anywhere

bool is_patch(const Finding& finding) {
  return finding.kind == FindingKind::clump || finding.kind == FindingKind::edge ||
         finding.kind == FindingKind::corner;
}

}  // namespace

const Finding* stands_out(std::span<const Finding> findings, int trays, bool (*is_asked)(const Finding&)) {
  const Finding* best = nullptr;
  std::set<std::string> with_one;
  for (const Finding& finding : findings) {
    if (!is_asked(finding)) continue;
    if (finding.tray.empty()) return &finding;
    with_one.insert(finding.tray);
    if (!best || finding.p_adjusted < best->p_adjusted) best = &finding;
  }
  const double by_chance = kByChance * trays;
  const bool is_telling = best && (best->p_adjusted * trays < kByChance ||
                                   chance_of_at_least(static_cast<double>(with_one.size()),
                                                      {by_chance, by_chance * (1 - kByChance)}) < kByChance);
  return is_telling ? best : nullptr;
}

bool lie_together(std::span<const Finding> findings, int trays) {
  return stands_out(findings, trays, is_patch) != nullptr;
}

}  // namespace braird
