// SPDX-License-Identifier: Apache-2.0
// Bytes as two small hexadecimal digits each, the higher half first, and back.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace braird {

/// "\x0f\xa0" as "0fa0".
std::string hex_of(std::string_view bytes);

/// The same the other way round; nothing unless these are pairs of digits and small letters from a to f.
std::optional<std::string> bytes_of_hex(std::string_view hex);

}  // namespace braird
