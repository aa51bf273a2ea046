// SPDX-License-Identifier: Apache-2.0
#include "cli/count_files.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>
#include <span>
#include <sstream>
#include <stdexcept>

#include "calibration/census_json.h"
#include "calibration/json_words.h"
#include "cli/whole_file.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

bool is_json(const std::string& content) {
  const auto first = content.find_first_not_of(" \t\r\n");
  return first != std::string::npos && content[first] == '{';
}

/// Bytes that no text has, as photos do.
bool is_text(const std::string& content) {
  return content.substr(0, 1000).find('\0') == std::string::npos && !content.starts_with("\xFF\xD8");
}

Census census_of(const std::string& text, const std::string& where) {
  try {
    return census_from_json(Json::parse(text));
  } catch (const Json::parse_error&) {
    throw std::invalid_argument(where + ": is no JSON; it must be what braird count --json printed");
  } catch (const std::invalid_argument& why) {
    throw std::invalid_argument(where + ": " + why.what());
  }
}

/// One census a line, or a single one over several lines.
void add_censuses(std::vector<Census>& censuses, const std::string& content, const std::string& file) {
  if (Json::accept(content)) {
    censuses.push_back(census_of(content, file));
    return;
  }
  std::istringstream lines(content);
  std::string line;
  for (int number = 1; std::getline(lines, line); ++number)
    if (line.find_first_not_of(" \t\r") != std::string::npos)
      censuses.push_back(census_of(line, fmt::format("{}, line {}", file, number)));
}

void merge(std::vector<Lot>& into, std::vector<Lot> lots, const std::string& file) {
  for (Lot& lot : lots) {
    const auto known = std::ranges::find(into, lot.name, &Lot::name);
    if (known == into.end()) {
      into.push_back(std::move(lot));
      continue;
    }
    try {
      join(*known, std::move(lot));
    } catch (const std::invalid_argument& why) {
      throw std::invalid_argument(file + ": " + why.what());
    }
  }
}

/// Takes out photos that an earlier file told already, and names them.
void take_out_repeated(std::vector<Census>& censuses, std::vector<std::string>& repeated) {
  std::set<std::string> known;
  std::erase_if(censuses, [&](const Census& census) {
    const bool again = !known.insert(text_of(to_json(census))).second;
    if (again) repeated.push_back(census.photo.file);
    return again;
  });
}

bool is_same_photo(const PhotoFacts& one, const PhotoFacts& other) {
  return one.taken && one.taken == other.taken && one.file == other.file;
}

bool is_same_tray(const Tray& one, const Tray& other, const CensusOptions& options) {
  const auto sown = sowing_of(one, options);
  return sown && sown == sowing_of(other, options) && one.label && other.label &&
         one.label->tag == other.label->tag;
}

/// Takes out photos that `known` holds, and trays that it shows by tag and sowing; were there any?
bool take_out_known(std::vector<Census>& censuses, std::span<const Census> known,
                    const CensusOptions& options) {
  const auto is_known = [&](const PhotoFacts& photo, const Tray& tray) {
    return std::ranges::any_of(known, [&](const Census& census) {
      return is_same_photo(census.photo, photo) || std::ranges::any_of(census.trays, [&](const Tray& other) {
               return is_same_tray(tray, other, options);
             });
    });
  };
  std::size_t out = 0;
  for (Census& census : censuses)
    out += std::erase_if(census.trays, [&](const Tray& tray) { return is_known(census.photo, tray); });
  return out > 0;
}

void remark_on_repeated(std::vector<Lot>& lots, const std::vector<std::string>& repeated) {
  if (repeated.empty()) return;
  const std::string others =
      repeated.size() == 1 ? " was" : fmt::format(" and {} more were", repeated.size() - 1);
  for (Lot& lot : lots)
    lot.remarks.push_back(repeated[0] + others + " given more than once and counted once.");
}

bool is_among(const fs::path& file, std::span<const fs::path> files) {
  std::error_code unread;
  return std::ranges::any_of(files, [&](const fs::path& one) { return fs::equivalent(file, one, unread); });
}

}  // namespace

CountFiles read_count_files(const std::vector<fs::path>& files, const HandCountOptions& hand,
                            const CensusOptions& census, const GivenBefore& before) {
  CountFiles read;
  std::vector<std::string> repeated;
  for (std::size_t at = 0; at < files.size(); ++at) {
    const fs::path& file = files[at];
    if (is_among(file, std::span(files).first(at))) {
      repeated.push_back(file.string());
      continue;
    }
    if (is_among(file, before.files)) {
      read.some_given_before = true;
      continue;
    }
    const std::string content = read_text(file);
    if (!is_text(content))
      throw std::invalid_argument(
          file.string() + ": holds no counts; if it is a photo, count it first: braird count --json " +
          file.string() + " > counts.jsonl");
    if (is_json(content)) {
      add_censuses(read.censuses, content, file.string());
      continue;
    }
    std::istringstream in(content);
    merge(read.lots, read_hand_counts(in, file.string(), hand), file.string());
  }
  take_out_repeated(read.censuses, repeated);
  if (take_out_known(read.censuses, before.censuses, census)) read.some_given_before = true;
  merge(read.lots, lots_of(read.censuses, census), "the photos");
  remark_on_repeated(read.lots, repeated);
  if (read.lots.empty() && !files.empty() && !read.some_given_before)
    throw std::invalid_argument("the files hold no counted tray");
  return read;
}

const CropProfile* crop_of(const std::vector<Census>& censuses) {
  for (const Census& census : censuses)
    for (const Tray& tray : census.trays)
      if (const CropProfile* crop = tray.crop ? find_crop(built_in_profiles(), *tray.crop) : nullptr)
        return crop;
  return nullptr;
}

std::optional<std::chrono::sys_days> last_sowing(const std::vector<Census>& censuses,
                                                 const CensusOptions& options) {
  std::optional<std::chrono::sys_days> last;
  for (const Census& census : censuses)
    for (const Tray& tray : census.trays) last = std::max(last, sowing_of(tray, options));
  return last;
}

}  // namespace braird::cli
