// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <chrono>
#include <ctime>
#include <string>
#include <vector>

namespace braird::vision {

/// How long a stage of the work took.
struct StageTime {
  std::string stage;
  double wall_ms = 0;
  double processor_ms = 0;  ///< of all threads of the program
};

/// Notes stage after stage. Reading the clocks takes some microseconds a stage, so it always runs.
class Stopwatch {
 public:
  /// What ran since the lap before, or since the watch was made, was this stage.
  void lap(const char* stage) {
    const Instant now = instant();
    times_.push_back({stage, now.wall_ms - last_.wall_ms, now.processor_ms - last_.processor_ms});
    last_ = now;
  }
  const std::vector<StageTime>& times() const { return times_; }

 private:
  struct Instant {
    double wall_ms, processor_ms;
  };
  static Instant instant() {
    using Ms = std::chrono::duration<double, std::milli>;
    return {Ms(std::chrono::steady_clock::now().time_since_epoch()).count(),
            1000.0 * static_cast<double>(std::clock()) / CLOCKS_PER_SEC};
  }

  std::vector<StageTime> times_;
  Instant last_ = instant();
};

}  // namespace braird::vision
