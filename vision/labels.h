// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "calibration/tray_label.h"
#include "vision/geometry.h"
#include "vision/hints.h"
#include "vision/photo.h"

namespace braird::vision {

/// The trays' labels that a photo shows; other codes are left alone. `bgr`: 8-bit, 3 channels, any size. A
/// code is read where its modules have 3 px or more; sharp ones down to some 2 px.
std::vector<SeenLabel> read_labels(const cv::Mat& bgr);

/// The same; places in the photo's own pixels, at whatever scale it was read.
std::vector<SeenLabel> read_labels(const Photo& photo);

/// Which label belongs to which tray: for each lattice the place of its label in the list, or -1. A label
/// belongs to the tray it lies on, or whose edge is nearest, within three cells; no two trays share one.
std::vector<int> assign_labels(const std::vector<Lattice>& lattices, const std::vector<SeenLabel>& labels);

/// The same cells with the rows that `hints` state, numbered from the label's corner: the first cell is the
/// corner cell nearest to the label.
/// Where two corners that may be the first are about as near, the print decides: it reads along the rows.
/// Trays with as many rows as columns may start at any of four corners, others at two.
Lattice numbered_by_label(const Lattice& lattice, const SeenLabel& label, const Hints& hints);

}  // namespace braird::vision
