// SPDX-License-Identifier: Apache-2.0
// A photo made in a test, read as `braird count` reads one.
#pragma once

#include <stdexcept>
#include <string>

#include "vision/photo.h"

namespace braird::test {

inline vision::Photo read(const std::string& bytes, const char* name = "photo") {
  return vision::photo_from({reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()}, name,
                            vision::Detail::counting);
}

/// "loaded" where there is none.
inline std::string complaint_about(const std::string& bytes, const char* name = "photo") {
  try {
    read(bytes, name);
  } catch (const std::runtime_error& why) {
    return why.what();
  }
  return "loaded";
}

}  // namespace braird::test
