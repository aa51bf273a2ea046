// SPDX-License-Identifier: Apache-2.0
#include "calibration/hex.h"

namespace braird {
namespace {

constexpr std::string_view kDigits = "0123456789abcdef";

}  // namespace

std::string hex_of(std::string_view bytes) {
  std::string hex;
  for (const char byte : bytes) {
    const auto value = static_cast<unsigned char>(byte);
    hex.append(1, kDigits[value / 16]).append(1, kDigits[value % 16]);
  }
  return hex;
}

std::optional<std::string> bytes_of_hex(std::string_view hex) {
  if (hex.size() % 2 != 0) return std::nullopt;
  std::string bytes;
  for (std::size_t at = 0; at < hex.size(); at += 2) {
    const std::size_t high = kDigits.find(hex[at]), low = kDigits.find(hex[at + 1]);
    if (high == std::string_view::npos || low == std::string_view::npos) return std::nullopt;
    bytes += static_cast<char>(16 * high + low);
  }
  return bytes;
}

}  // namespace braird
