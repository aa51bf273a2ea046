// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <filesystem>
#include <set>
#include <stdexcept>

#include "calibration/ledger/history.h"
#include "calibration/ledger/rows.h"

namespace braird::ledger {
namespace {

constexpr std::size_t kMostToList = 600;  // letters

std::vector<FoundCensus> found_where(const Ledger& ledger, const char* where, const std::string& what) {
  Statement rows =
      ledger.file().prepare(fmt::format("SELECT {} FROM {} WHERE {} ORDER BY "
                                        "ifnull(photos.taken, ''), photos.id, censuses.number",
                                        kCensusColumns, kCensusTables, where));
  rows.bind(what);
  std::vector<FoundCensus> found;
  while (rows.next())
    found.push_back({rows.text(census_column::lot), rows.maybe_text(census_column::tag),
                     census_of_row(rows, ledger.file())});
  return found;
}

[[noreturn]] void refuse_several(const std::string& name, const std::set<std::string>& files) {
  std::string known;
  for (auto file = files.begin(); file != files.end() && known.size() < kMostToList; ++file)
    known += (known.empty() ? "" : ", ") + *file;
  throw std::invalid_argument(fmt::format("the ledger knows {} photos \"{}\"; name one with its folder: {}",
                                          files.size(), name, known));
}

/// All trays of that photo: the one of this path, else the one whose path ends so.
std::vector<FoundCensus> trays_of_photo(const Ledger& ledger, const std::string& name) {
  namespace fs = std::filesystem;
  if (name.empty()) return {};
  auto found = found_where(ledger, "photos.file = ?1", fs::absolute(name).lexically_normal().string());
  if (found.empty())
    found = found_where(ledger, "photos.file = ?1 OR substr(photos.file, -length(?1) - 1) = '/' || ?1",
                        fs::path(name).lexically_normal().string());
  std::set<std::string> files;
  for (const FoundCensus& one : found) files.insert(one.census.file);
  if (files.size() > 1) refuse_several(name, files);
  // Of several photos that lay there one after another, the latest.
  std::erase_if(found, [last = found.empty() ? Bytes() : found.back().census.hash](const FoundCensus& one) {
    return one.census.hash != last;
  });
  return found;
}

/// "bench.jpg:2" names the second tray of bench.jpg.
std::vector<FoundCensus> tray_by_number(const Ledger& ledger, const std::string& name) {
  const std::size_t colon = name.rfind(':');
  if (colon == std::string::npos) return {};
  const std::string number = name.substr(colon + 1);
  std::vector<FoundCensus> found = trays_of_photo(ledger, name.substr(0, colon));
  for (std::size_t at = 0; at < found.size(); ++at)
    if (number == std::to_string(at + 1)) return {found[at]};
  return {};
}

std::vector<FoundCensus> named(const Ledger& ledger, const std::string& name) {
  if (name.empty())
    return found_where(ledger,
                       "?1 = '' AND photos.id = (SELECT photo FROM censuses ORDER BY id DESC LIMIT 1)", name);
  if (const auto tray = tray_tagged(ledger.file(), name))
    if (auto tagged = found_where(ledger, "trays.tag = ?1", tray->tag); !tagged.empty())
      return {tagged.back()};
  if (auto trays = trays_of_photo(ledger, name); !trays.empty()) return trays;
  return tray_by_number(ledger, name);
}

}  // namespace

PlaceInPhoto place_in_photo(const Ledger& ledger, std::int64_t census) {
  Statement row = ledger.file().prepare(
      "SELECT number + 1, (SELECT count(*) FROM censuses AS other WHERE other.photo = censuses.photo) "
      "FROM censuses WHERE id = ?");
  row.bind(census);
  if (!row.next()) return {};
  return {static_cast<int>(row.whole(0)), static_cast<int>(row.whole(1))};
}

std::vector<FoundCensus> find_censuses(const Ledger& ledger, const std::string& name) {
  std::vector<FoundCensus> found = named(ledger, name);
  if (found.empty() && name.empty())
    throw std::invalid_argument("the ledger holds no counted photo yet; keep one with braird count --keep");
  if (found.empty())
    throw std::invalid_argument(fmt::format(
        "the ledger knows no tray and no photo \"{}\"; name a tag, or a photo that was kept", name));
  for (FoundCensus& one : found) {
    add_checks(ledger.file(), one.census);
    one.place = place_in_photo(ledger, one.census.id);
  }
  return found;
}

FoundCensus find_census(const Ledger& ledger, const std::string& name) {
  const std::vector<FoundCensus> found = find_censuses(ledger, name);
  if (found.size() == 1) return found[0];
  const std::string photo =
      name.empty() ? std::filesystem::path(found[0].census.file).filename().string() : name;
  throw std::invalid_argument(fmt::format("the photo {0} shows {1} trays; name one: {0}:1 {2} {0}:{1}", photo,
                                          found.size(), found.size() == 2 ? "or" : "to"));
}

}  // namespace braird::ledger
