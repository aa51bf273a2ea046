// SPDX-License-Identifier: Apache-2.0
#include "vision/labelled_trays.h"

#include <algorithm>

#include "vision/labels.h"

namespace braird::vision {
namespace {

bool agree_on_shape(const std::vector<SeenLabel>& labels) {
  return std::ranges::all_of(labels, [&](const SeenLabel& other) {
    const auto &one = labels[0].layout, &two = other.layout;
    return one && two && one->rows == two->rows && one->cols == two->cols && one->lattice == two->lattice;
  });
}

std::string names_of(const std::vector<SeenLabel>& labels) {
  std::string names = labels.size() == 1 ? "label " : "labels ";
  for (std::size_t at = 0; at < labels.size(); ++at) names += (at ? ", " : "") + labels[at].label.tag;
  return names;
}

Hints with_shape(Hints hints, const Layout& layout, const std::string& stated_by) {
  hints.rows = layout.rows;
  hints.cols = layout.cols;
  hints.lattice = layout.lattice;
  hints.stated_by = stated_by;
  return hints;
}

Hints with_likely_shapes(Hints hints) {
  for (const SeenLabel& label : hints.labels)
    if (label.layout) hints.known_layouts.push_back(*label.layout);
  return hints;
}

}  // namespace

std::variant<Hints, Trouble> hints_for(const Lattice& tray, const SeenLabel& label, const Hints& all) {
  Hints hints = all;
  if (label.layout) {
    const Hints labelled = with_shape(all, *label.layout, names_of({label}));
    if (is_as_stated(layout_of(tray), labelled))
      hints = labelled;
    else if (!all.rows)
      return not_as_stated(layout_of(tray), labelled);
  }
  if (label.label.crop) hints.habit = label.habit;
  if (label.label.seeds_per_cell) hints.seeds_per_cell = label.label.seeds_per_cell;
  return hints;
}

/// How many trays are as their labels say, or have none.
static std::ptrdiff_t as_labelled(const std::vector<Lattice>& trays, const Hints& hints) {
  std::ptrdiff_t right = 0;
  const std::vector<int> label_of = assign_labels(trays, hints.labels);
  for (std::size_t at = 0; at < trays.size(); ++at)
    right += label_of[at] < 0 || std::holds_alternative<Hints>(hints_for(
                                     trays[at], hints.labels[static_cast<std::size_t>(label_of[at])], hints));
  return right;
}

LatticeSearch find_labelled(const cv::Mat& bgr, const LatticeMaps& maps, const Hints& hints,
                            const Trace& trace) {
  const std::vector<SeenLabel>& labels = hints.labels;
  if (labels.empty() || hints.rows) return find_lattices(bgr, maps, hints, trace);
  const auto likely = [&] { return find_lattices(bgr, maps, with_likely_shapes(hints), trace); };
  if (!agree_on_shape(labels)) return likely();
  const Hints of_all = with_shape(hints, *labels[0].layout, names_of(labels));
  LatticeSearch stated = find_lattices(bgr, maps, of_all, trace);
  if (stated.remarks.empty() && stated.lattices.size() <= labels.size()) return stated;
  LatticeSearch found = likely();
  return as_labelled(found.lattices, hints) > std::ssize(stated.lattices) ? found : stated;
}

}  // namespace braird::vision
