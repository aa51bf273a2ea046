// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <opencv2/core/utility.hpp>
#include <type_traits>
#include <vector>

namespace braird::vision {

/// f of each, in their order, worked out on all of OpenCV's threads. f must not write what another call
/// reads.
template <class T, class F>
auto each(const std::vector<T>& items, const F& f) {
  std::vector<std::invoke_result_t<F, const T&>> results(items.size());
  cv::parallel_for_({0, static_cast<int>(items.size())}, [&](const cv::Range& range) {
    for (int i = range.start; i < range.end; ++i)
      results[static_cast<std::size_t>(i)] = f(items[static_cast<std::size_t>(i)]);
  });
  return results;
}

}  // namespace braird::vision
