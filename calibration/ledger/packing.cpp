// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/packing.h"

#include <zlib.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace braird::ledger {
namespace {

constexpr unsigned kVersion = 1;
constexpr std::size_t kMostBytes = 64'000'000;  // a million cells; keeps damaged bytes from asking for more
constexpr double kChance = 10'000, kPixel = 10, kPlant = 25;

[[noreturn]] void refuse() {
  throw std::invalid_argument("its cells are damaged");
}

std::int64_t stepped(double value, double per_unit) {
  return std::llround(value * per_unit);
}

struct Writer {
  Bytes bytes;

  void whole(std::uint64_t value) {
    for (; value >= 0x80; value >>= 7) bytes += static_cast<char>((value & 0x7f) | 0x80);
    bytes += static_cast<char>(value);
  }
  void number(std::int64_t value) {
    whole(value < 0 ? ~(static_cast<std::uint64_t>(value) << 1) : static_cast<std::uint64_t>(value) << 1);
  }
};

struct Reader {
  const Bytes& bytes;
  std::size_t at = 0;

  std::uint64_t whole() {
    std::uint64_t value = 0;
    for (int shift = 0; shift < 64; shift += 7) {
      if (at >= bytes.size()) refuse();
      const auto byte = static_cast<unsigned char>(bytes[at++]);
      value |= static_cast<std::uint64_t>(byte & 0x7f) << shift;
      if (byte < 0x80) return value;
    }
    refuse();
  }
  std::int64_t number() {
    const std::uint64_t value = whole();
    return static_cast<std::int64_t>(value & 1 ? ~(value >> 1) : value >> 1);
  }
  std::size_t at_most(std::size_t most) {
    const std::uint64_t value = whole();
    if (value > most) refuse();
    return static_cast<std::size_t>(value);
  }
  void version() {
    if (whole() != kVersion) refuse();
  }
  void end() const {
    if (at != bytes.size()) refuse();
  }
};

Bytes deflated(const Bytes& plain) {
  Writer head;
  head.whole(plain.size());
  uLongf size = compressBound(plain.size());
  Bytes packed(size, '\0');
  if (compress2(reinterpret_cast<Bytef*>(packed.data()), &size, reinterpret_cast<const Bytef*>(plain.data()),
                plain.size(), 9) != Z_OK)
    throw std::runtime_error("there is no memory left to pack a tray");
  packed.resize(size);
  return head.bytes + packed;
}

Bytes inflated(const Bytes& packed) {
  Reader head{packed};
  // Deflate packs at most 1032 bytes into one; what claims more is damaged, and not worth the memory.
  Bytes plain(head.at_most(std::min(kMostBytes, 1100 * packed.size())), '\0');
  uLongf size = plain.size();
  if (uncompress(reinterpret_cast<Bytef*>(plain.data()), &size,
                 reinterpret_cast<const Bytef*>(packed.data()) + head.at, packed.size() - head.at) != Z_OK ||
      size != plain.size())
    refuse();
  return plain;
}

// What a row's next value would be if the cells stood evenly.
template <typename At>
std::int64_t expected(At at, int row, int col, int cols) {
  const int here = row * cols + col;
  if (col >= 2) return 2 * at(here - 1) - at(here - 2);
  if (row == 0) return col == 0 ? 0 : at(here - 1);
  return col == 0 ? at(here - cols) : at(here - 1) + at(here - cols) - at(here - cols - 1);
}

template <typename Value>
void write_plane(Writer& out, const std::vector<Cell>& cells, int cols, Value value) {
  const auto at = [&](int place) { return stepped(value(cells[static_cast<std::size_t>(place)]), kPixel); };
  for (int place = 0; place < std::ssize(cells); ++place)
    out.number(at(place) - expected(at, place / cols, place % cols, cols));
}

template <typename Take>
void read_plane(Reader& in, int count, int cols, Take take) {
  std::vector<std::int64_t> values;
  const auto at = [&](int place) { return values[static_cast<std::size_t>(place)]; };
  for (int place = 0; place < count; ++place) {
    // Wraps instead of overflowing on damaged bytes.
    const auto sum = static_cast<std::uint64_t>(in.number()) +
                     static_cast<std::uint64_t>(expected(at, place / cols, place % cols, cols));
    values.push_back(std::clamp<std::int64_t>(static_cast<std::int64_t>(sum), -100'000'000, 100'000'000));
    take(static_cast<std::size_t>(place), static_cast<double>(values.back()) / kPixel);
  }
}

std::size_t common_length(const std::vector<Cell>& cells) {
  const std::size_t length = cells.empty() ? 0 : cells[0].probability.size();
  const bool common =
      std::ranges::all_of(cells, [&](const Cell& c) { return c.probability.size() == length; });
  return common ? length : 0;
}

}  // namespace

Bytes pack_counts(const std::vector<Cell>& cells) {
  Writer out;
  const std::size_t common = common_length(cells);
  std::size_t most = common;
  out.whole(kVersion);
  out.whole(common);
  if (common == 0)
    for (const Cell& cell : cells) {
      out.whole(cell.probability.size());
      most = std::max(most, cell.probability.size());
    }
  for (const Cell& cell : cells) out.whole(2 * static_cast<std::uint64_t>(cell.count) + cell.review);
  for (std::size_t k = 0; k < most; ++k)
    for (const Cell& cell : cells)
      if (k < cell.probability.size())
        out.whole(
            static_cast<std::uint64_t>(std::max<std::int64_t>(0, stepped(cell.probability[k], kChance))));
  return deflated(out.bytes);
}

void unpack_counts(const Bytes& packed, std::vector<Cell>& cells) {
  constexpr std::size_t most_chances = 1000, most_count = 2001;
  const Bytes plain = inflated(packed);
  Reader in{plain};
  in.version();
  const std::size_t common = in.at_most(most_chances);
  std::size_t most = common;
  for (Cell& cell : cells) {
    cell.probability.resize(common > 0 ? common : in.at_most(most_chances));
    most = std::max(most, cell.probability.size());
  }
  for (Cell& cell : cells) {
    const std::size_t both = in.at_most(most_count);
    cell.count = static_cast<int>(both / 2);
    cell.review = both % 2 == 1;
  }
  for (std::size_t k = 0; k < most; ++k)
    for (Cell& cell : cells)
      if (k < cell.probability.size())
        cell.probability[k] = static_cast<double>(in.at_most(10'000)) / kChance;
  in.end();
}

Bytes pack_places(const std::vector<Cell>& cells, int cols) {
  Writer out;
  out.whole(kVersion);
  write_plane(out, cells, cols, [](const Cell& cell) { return cell.centre_px.x; });
  write_plane(out, cells, cols, [](const Cell& cell) { return cell.centre_px.y; });
  return deflated(out.bytes);
}

void unpack_places(const Bytes& packed, int cols, std::vector<Cell>& cells) {
  const Bytes plain = inflated(packed);
  Reader in{plain};
  in.version();
  const int count = static_cast<int>(cells.size());
  read_plane(in, count, cols, [&](std::size_t at, double x) { cells[at].centre_px.x = x; });
  read_plane(in, count, cols, [&](std::size_t at, double y) { cells[at].centre_px.y = y; });
  in.end();
}

Bytes pack_plants(const std::vector<Cell>& cells) {
  Writer out;
  out.whole(kVersion);
  for (double Point::*axis : {&Point::x, &Point::y})
    for (const Cell& cell : cells) {
      if (!cell.plant) {
        out.whole(0);
        continue;
      }
      Writer number;
      number.number(stepped((*cell.plant).*axis, kPlant));
      out.whole(1 + Reader{number.bytes}.whole());
    }
  return deflated(out.bytes);
}

void unpack_plants(const Bytes& packed, std::vector<Cell>& cells) {
  const Bytes plain = inflated(packed);
  Reader in{plain};
  in.version();
  for (double Point::*axis : {&Point::x, &Point::y})
    for (Cell& cell : cells) {
      const std::size_t coded = in.at_most(10'000);
      if (coded == 0) continue;
      if (!cell.plant) cell.plant = Point{};
      const auto n = static_cast<std::int64_t>(coded - 1);
      (*cell.plant).*axis = static_cast<double>(n & 1 ? -(n + 1) / 2 : n / 2) / kPlant;
    }
  in.end();
}

Bytes pack_corners(const std::array<Point, 4>& corners) {
  Writer out;
  out.whole(kVersion);
  for (const Point& corner : corners) {
    out.number(stepped(corner.x, kPixel));
    out.number(stepped(corner.y, kPixel));
  }
  return out.bytes;
}

std::array<Point, 4> unpack_corners(const Bytes& packed) {
  Reader in{packed};
  in.version();
  std::array<Point, 4> corners;
  for (Point& corner : corners)
    for (double Point::*axis : {&Point::x, &Point::y})
      corner.*axis = static_cast<double>(in.number()) / kPixel;
  in.end();
  return corners;
}

}  // namespace braird::ledger
