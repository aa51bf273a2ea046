// SPDX-License-Identifier: Apache-2.0
// Trays counted by hand, as tables in CSV.
#pragma once

#include <string>

namespace braird::test {

/// 8 x 13 cells of four leek seeds: 9 empty cells, the rest with 2, 3 or 4.
inline std::string leek_tray() {
  std::string text = "lot,tray,row,col,count\n";
  for (int at = 0; at < 104; ++at)
    text += "Harebell 3,A," + std::to_string(at / 13 + 1) + "," + std::to_string(at % 13 + 1) + "," +
            (at % 11 == 5 ? "0" : std::to_string(2 + at % 3)) + "\n";
  return text;
}

/// 8 x 13 cells of two seeds; column 5 is jammed, every tenth other cell holds one seedling.
inline std::string leeks_but_column_5() {
  std::string text = "lot,tray,row,col,count\n";
  for (int row = 1; row <= 8; ++row)
    for (int col = 1; col <= 13; ++col)
      text += "Harebell 3,A," + std::to_string(row) + "," + std::to_string(col) + "," +
              (col == 5                     ? "0"
               : (row * 13 + col) % 10 == 0 ? "1"
                                            : "2") +
              "\n";
  return text;
}

}  // namespace braird::test
