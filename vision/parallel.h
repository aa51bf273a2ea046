// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <future>
#include <opencv2/core/utility.hpp>
#include <type_traits>
#include <vector>

namespace braird::vision {

/// f of each, in their order, worked out on as many threads as OpenCV may use; not on OpenCV's own, which the
/// thread sanitizer can't follow. f must not write what another call reads.
template <class T, class F>
auto each(const std::vector<T>& items, const F& f) {
  std::vector<std::invoke_result_t<F, const T&>> results(items.size());
  std::atomic<std::size_t> next = 0;
  const auto work = [&] {
    for (std::size_t at; (at = next++) < items.size();) results[at] = f(items[at]);
  };
  const std::size_t threads =
      std::min(items.size(), static_cast<std::size_t>(std::max(1, cv::getNumThreads())));
  std::vector<std::future<void>> others;
  for (std::size_t i = 1; i < threads; ++i) others.push_back(std::async(std::launch::async, work));
  work();
  for (auto& other : others) other.get();
  return results;
}

}  // namespace braird::vision
