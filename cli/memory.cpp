// SPDX-License-Identifier: Apache-2.0
#include "cli/memory.h"

#include <cstdint>
#include <cstdlib>
#if defined(__GLIBC__) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#include <malloc.h>
#include <sys/mman.h>
#endif

namespace braird::cli {

void prepare_memory() {
#if defined(__GLIBC__) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
  constexpr std::size_t kRoom = 256U << 20, kLargePage = 2U << 20;
  mallopt(M_MMAP_THRESHOLD, 1 << 30);
  mallopt(M_TRIM_THRESHOLD, 1 << 30);
  mallopt(M_ARENA_MAX, 1);                              // a thread's own arena holds no block beyond 64 MB
  char* room = static_cast<char*>(std::malloc(kRoom));  // not touched, so nothing is used yet
  if (room == nullptr) return;
  const std::size_t past = reinterpret_cast<std::uintptr_t>(room) % kLargePage;
  // Where the system knows no large pages, all goes on as before.
  static_cast<void>(madvise(room + (kLargePage - past) % kLargePage, kRoom - kLargePage, MADV_HUGEPAGE));
  std::free(room);
#endif
}

}  // namespace braird::cli
