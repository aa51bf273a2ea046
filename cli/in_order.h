// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <condition_variable>
#include <mutex>
#include <optional>
#include <thread>
#include <vector>

namespace braird::cli {

/// Does `make(i)` for i = 0 … count - 1 on `jobs` threads, and hands each result to `take(i, result)` on the
/// calling thread, in order, as soon as it is there. `make` must not throw. With one job no thread is
/// started.
template <typename Make, typename Take>
void in_order(std::size_t count, std::size_t jobs, const Make& make, const Take& take) {
  if (jobs <= 1 || count <= 1) {
    for (std::size_t i = 0; i < count; ++i) take(i, make(i));
    return;
  }
  using Result = decltype(make(std::size_t{}));
  std::vector<std::optional<Result>> results(count);
  std::mutex access;
  std::condition_variable changed;
  std::size_t next = 0;
  const auto work = [&] {
    for (std::unique_lock lock(access); next < count;) {
      const std::size_t mine = next++;
      lock.unlock();
      std::optional<Result> result(make(mine));
      lock.lock();
      results[mine] = std::move(result);
      changed.notify_one();
    }
  };
  std::vector<std::jthread> threads(std::min(jobs, count));
  for (std::jthread& thread : threads) thread = std::jthread(work);
  for (std::size_t i = 0; i < count; ++i) {
    std::unique_lock lock(access);
    changed.wait(lock, [&] { return results[i].has_value(); });
    Result result = std::move(*results[i]);
    results[i].reset();
    lock.unlock();
    take(i, std::move(result));
  }
}

}  // namespace braird::cli
