// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <initializer_list>
#include <string>
#include <string_view>

namespace braird::cli {

/// Writes beside the place and renames it there, so that no half-written file is left. Throws
/// std::runtime_error with one sentence, also if a photo, a picture or a ledger would be replaced.
void write_whole_file(const std::filesystem::path& path, const std::string& content);

/// The same for a JPEG or PNG that this program drew. The file says so at its end, and only such a one may be
/// replaced by a picture.
void write_picture(const std::filesystem::path& path, const std::string& content);

/// Throws std::invalid_argument with one sentence if the name promises another kind of file than is written:
/// "page.pdf" where only these endings, as ".html", fit. A name without any ending promises nothing. What
/// must not be replaced is refused as such.
void require_ending(std::string_view option, const std::filesystem::path& path,
                    std::initializer_list<std::string_view> fitting);

/// Throws as `write_whole_file` does if the folder is missing, can't be written to, or the file is a folder
/// or none to be replaced.
void require_place_for(const std::filesystem::path& path);

/// Throws std::runtime_error with one sentence if the file is missing or cannot be read.
std::string read_whole_file(const std::filesystem::path& path);

/// A table or JSON in UTF-8; from UTF-16 where a byte-order mark says so, as spreadsheets save "Unicode
/// text". "-" is standard input. Throws std::runtime_error with one sentence.
std::string read_text(const std::filesystem::path& path);

}  // namespace braird::cli
