// SPDX-License-Identifier: Apache-2.0
// What strangers' bytes may reach: each target takes any bytes, and either makes sense of them or refuses
// them with a sentence (std::invalid_argument, std::runtime_error). Anything else that leaves a target is a
// fault.
#pragma once

#include <span>
#include <string>

namespace braird::fuzz {

using Bytes = std::span<const unsigned char>;

struct Target {
  const char* name;  ///< also of its folder in the corpus
  void (*run)(Bytes);
};

/// codecs (bytes to photo and labels), photo (on to the census), maps (what the lattice network may say to
/// lattices), census, profiles, counts (CSV), label (its text), packing (a tray's cells in the ledger),
/// tables (the ledger's rows).
std::span<const Target> targets();

/// Runs a target; sentences for the user are taken in, all else passes.
void run_quietly(const Target& target, Bytes bytes);

}  // namespace braird::fuzz
