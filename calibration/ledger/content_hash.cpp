// SPDX-License-Identifier: Apache-2.0
#define XXH_INLINE_ALL
#include <xxhash.h>

#include <array>
#include <fstream>
#include <stdexcept>
#include <vector>

#include "calibration/ledger/keep.h"

namespace braird::ledger {

Bytes content_hash(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  XXH3_state_t state;
  XXH3_128bits_reset(&state);
  std::vector<char> part(1 << 20);
  while (in.read(part.data(), std::ssize(part)) || in.gcount() > 0)
    XXH3_128bits_update(&state, part.data(), static_cast<std::size_t>(in.gcount()));
  if (!in.eof())
    throw std::runtime_error(file.string() + ": could not be read again; copy the photo and try again");
  XXH128_canonical_t canonical;
  XXH128_canonicalFromHash(&canonical, XXH3_128bits_digest(&state));
  return {reinterpret_cast<const char*>(canonical.digest), sizeof canonical.digest};
}

}  // namespace braird::ledger
