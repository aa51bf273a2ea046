// SPDX-License-Identifier: Apache-2.0
// The tray census: what was counted in one photo. Vision fills it, calibration reads it; it holds no OpenCV
// type.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "calibration/tray_label.h"

namespace braird {

/// A place in a photo, in pixels: x to the right, y down, (0, 0) the centre of the first pixel.
struct Point {
  double x = 0;
  double y = 0;
};

enum class LatticeKind { square, staggered };
enum class CellState { empty, single, multiple };

/// What was counted: plants that came up, or seeds lying in view before they are covered.
enum class Counted { seedlings, seeds };

/// A tray's shape: `rows` rows of `cols` cells; staggered rows are shifted by half a pitch in turn.
struct Layout {
  int rows = 0;
  int cols = 0;
  LatticeKind lattice = LatticeKind::square;

  bool operator==(const Layout&) const = default;
};

struct Cell {
  int row = 0;  ///< from 0
  int col = 0;  ///< from 0
  Point centre_px;
  int count = 0;                    ///< the most probable number of seedlings (or seeds)
  std::vector<double> probability;  ///< [k] = chance of that many; the last entry means "or more"; sums to 1
  bool review = false;              ///< a person should look at this cell
  /// The middle of what grows in the cell, from the cell's centre, in cells: x along the row, y from row to
  /// row. Tells trays and turns apart; nothing where none was seen or looked for.
  std::optional<Point> plant{};
};

struct Tray {
  Layout layout;
  std::array<Point, 4> corners_px;  ///< centres of cells (0,0), (0,last), (last,last), (last,0)
  double pitch_px = 0;              ///< square root of the mean area of a cell in the photo
  double fit = 0;                   ///< chance that the lattice (shape and place) is right, 0..1
  std::optional<std::string> crop;
  std::optional<int> seeds_per_cell;
  std::vector<Cell> cells;               ///< row by row
  std::optional<TrayLabel> label{};      ///< seen beside the tray; rows and columns then start at its corner
  std::optional<std::string> lot{};      ///< told, or as the label says
  std::optional<std::string> sown_on{};  ///< "YYYY-MM-DD", likewise
  /// Where nothing has come up: the share of cells in the middle in which seeds lie in view; nothing if none.
  std::optional<double> seeds_in_view{};
};

struct PhotoFacts {
  std::string file;
  int width = 0;  ///< pixels, after the EXIF orientation is applied
  int height = 0;
  /// Local time of the exposure, "YYYY-MM-DDTHH:MM:SS"; "YYYY-MM-DD" where only the day was told.
  std::optional<std::string> taken;
};

struct Census {
  PhotoFacts photo;
  std::vector<Tray> trays;
  std::vector<std::string> remarks;  ///< whole sentences for the reader
  Counted counted = Counted::seedlings;
};

struct TraySummary {
  int cells = 0;
  int empty = 0;
  int single = 0;
  int multiple = 0;
  int seedlings = 0;  ///< or seeds, in a census of seeds
  int review = 0;
};

/// What does a count make of a cell? `count` ≥ 0.
CellState state_of(int count);

/// How many cells has a tray of that shape? Sides ≥ 0.
inline std::size_t number_of_cells(const Layout& layout) {
  return static_cast<std::size_t>(layout.rows) * static_cast<std::size_t>(layout.cols);
}

/// Where does a cell stand in a list that goes row by row? `row` and `col` from 0, within the layout.
inline std::size_t cell_index(const Layout& layout, int row, int col) {
  return static_cast<std::size_t>(row) * static_cast<std::size_t>(layout.cols) +
         static_cast<std::size_t>(col);
}

/// `row` and `col` from 0, within the layout, all of whose cells are there.
inline const Cell& cell_at(const Tray& tray, int row, int col) {
  return tray.cells[cell_index(tray.layout, row, col)];
}

/// Has anything come up in it (or, in a census of seeds, does any seed lie in it)?
bool has_any_up(const Tray& tray);

/// How many cells of each state, and how many seedlings (or seeds), does a tray hold?
TraySummary summarise(const Tray& tray);

const char* name_of(LatticeKind lattice);  ///< "square" or "staggered"
const char* name_of(CellState state);      ///< "empty", "single" or "multiple"
const char* name_of(Counted counted);      ///< "seedlings" or "seeds"

}  // namespace braird
