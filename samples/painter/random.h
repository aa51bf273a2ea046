// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cmath>
#include <cstdint>
#include <iterator>
#include <numbers>

namespace braird::painter {

/// Chance that is the same on every machine: the standard library's distributions differ between compilers.
/// Generator: splitmix64 (Steele, Lea & Flood 2014).
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}

  std::uint64_t bits() {
    std::uint64_t z = (state_ += 0x9e3779b97f4a7c15ULL);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
  }

  double uniform() { return static_cast<double>(bits() >> 11) * 0x1.0p-53; }
  double uniform(double low, double high) { return low + (high - low) * uniform(); }
  double log_uniform(double low, double high) { return low * std::exp(std::log(high / low) * uniform()); }
  /// A whole number of low..high, both ends included.
  int integer(int low, int high) { return low + static_cast<int>(uniform() * (high - low + 1)); }
  bool chance(double p) { return uniform() < p; }
  double angle() { return uniform(0, 2 * std::numbers::pi); }
  int sign() { return chance(0.5) ? 1 : -1; }

  double normal(double mean = 0, double sd = 1) {
    const double radius = std::sqrt(-2 * std::log(1 - uniform()));
    return mean + sd * radius * std::cos(angle());
  }

  /// An entry of a table, all alike in chance.
  template <class Table>
  const auto& pick(const Table& table) {
    return *(std::begin(table) + integer(0, static_cast<int>(std::size(table)) - 1));
  }

  /// A stream of its own, so that one more draw here changes nothing there.
  Random fork(std::uint64_t salt) const {
    Random child(state_ ^ (salt * 0xd6e8feb86659fd93ULL));
    child.bits();
    return child;
  }

 private:
  std::uint64_t state_;
};

}  // namespace braird::painter
