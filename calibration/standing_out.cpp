// SPDX-License-Identifier: Apache-2.0
#include "calibration/standing_out.h"

#include <algorithm>
#include <set>
#include <string>
#include <vector>

#include "calibration/telling_findings.h"

namespace braird {
namespace {

bool stands_out_alone(const Finding& finding) {
  return finding.kind == FindingKind::row || finding.kind == FindingKind::column ||
         finding.kind == FindingKind::repeated_place;
}

bool is_about(const Finding& finding, const TrayMap& tray) {
  return finding.kind == FindingKind::repeated_place ? finding.layout == tray.layout
                                                     : finding.tray == tray.name;
}

// Of one tray the places themselves, as long as they are few.
std::string called(const std::set<std::string>& places, std::size_t trays) {
  if (trays > 1 || places.size() > 2) return "rows, columns or holes that stand out";
  return *places.begin() + (places.size() > 1 ? " and " + *places.rbegin() : "");
}

}  // namespace

GapContext gap_context(std::span<const TrayMap> trays, std::span<const Finding> findings, double miscounted) {
  GapContext known{miscounted, lie_together(findings, static_cast<int>(trays.size()))};
  std::set<std::string> places;
  for (const TrayMap& tray : trays) {
    known.elsewhere.push_back(tray.cells);
    for (const Finding& finding : findings) {
      if (!stands_out_alone(finding) || !is_about(finding, tray)) continue;
      for (const int cell : finding.cells) known.elsewhere.back()[static_cast<std::size_t>(cell)] = {0, 0};
      places.insert(finding.place);
    }
  }
  if (places.empty())
    known.elsewhere.clear();
  else
    known.standing_out = called(places, trays.size());
  return known;
}

}  // namespace braird
