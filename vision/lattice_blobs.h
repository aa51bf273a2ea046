// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <vector>

#include "vision/geometry.h"
#include "vision/lattice_maps.h"

namespace braird::vision {

/// Px, far outside any map: where cells of a candidate gone astray may lie.
constexpr double kNowhere = 1e5;

/// A cell of a lattice and where it should stand; map pixels.
struct Spot {
  cv::Point2d tray, at;
  double pitch;
};

/// The spots of all cells, row by row.
std::vector<Spot> spots_of(const Lattice& lattice);

/// A cell of a lattice and the blob that shows where it really stands; map pixels.
struct Meeting {
  cv::Point2d tray, seen;
  double weight;  ///< the blob's peak, 0..1
  double pitch;
};

/// A peak of the map of centres.
struct Blob {
  cv::Point2d at;     ///< map pixels
  double weight = 0;  ///< its height, 0..1
};

/// All peaks of a map (32-bit float, 0..1) that are more than faint.
std::vector<Blob> peaks_of(const cv::Mat& centres);

/// The weighted middle of the blob near a cell, found in steps with a shrinking reach (in pitches); none if
/// nothing brighter than a faint blob is there.
std::optional<Meeting> meet(const LatticeMaps& maps, const Spot& spot, double reach);

/// The meetings of all cells that have one.
std::vector<Meeting> meet_all(const LatticeMaps& maps, const Lattice& lattice, double reach);

/// How far, in cells, blobs stray from where the lattice has their cells.
struct Stray {
  cv::Point2d tray, off;
  double weight;
};

std::vector<Stray> strays_of(const Lattice& lattice, const std::vector<Meeting>& meetings);

}  // namespace braird::vision
