// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace braird::test {

/// How often to draw: `many` times, so that rates show; a few times under sanitizers, which look at each step
/// and are ten times as slow.
constexpr int times([[maybe_unused]] int many, [[maybe_unused]] int under_sanitizers) {
#ifdef BRAIRD_SANITIZED
  return under_sanitizers;
#else
  return many;
#endif
}

}  // namespace braird::test
