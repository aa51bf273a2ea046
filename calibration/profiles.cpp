// SPDX-License-Identifier: Apache-2.0
#include "calibration/profiles.h"

#include <algorithm>
#include <cctype>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "calibration/profile_lists.h"
#include "calibration/spelling.h"

namespace braird {
namespace {

using Json = nlohmann::json;

/// Reads an entry's fields and names the entry in every complaint.
struct Entry {
  const Json& fields;
  std::string where;  ///< as: crop "leek"

  [[noreturn]] void refuse(const std::string& why) const { throw std::invalid_argument(where + ": " + why); }

  std::string text(const char* key) const {
    if (!fields.contains(key) || !fields[key].is_string())
      refuse(std::string(key) + " is missing or is no text");
    return fields[key];
  }

  double number(const char* key, int least, int most) const {
    const bool sound =
        fields.contains(key) && fields[key].is_number() && fields[key] >= least && fields[key] <= most;
    if (!sound)
      refuse(std::string(key) + " must be a number from " + std::to_string(least) + " to " +
             std::to_string(most));
    return fields[key];
  }

  int whole(const char* key, int least, int most) const {
    const double value = number(key, least, most);
    if (!fields[key].is_number_integer()) refuse(std::string(key) + " must be a whole number");
    return static_cast<int>(value);
  }

  std::optional<int> maybe_whole(const char* key, int least, int most) const {
    if (!fields.contains(key) || fields[key].is_null()) return std::nullopt;
    return whole(key, least, most);
  }

  std::vector<std::string> texts(const char* key) const {
    std::vector<std::string> result;
    for (const Json& item : fields.value(key, Json::array())) {
      if (!item.is_string()) refuse(std::string(key) + " must be a list of names");
      result.push_back(item);
    }
    return result;
  }
};

LatticeKind lattice_of(const Entry& entry) {
  const std::string name = entry.text("lattice");
  for (LatticeKind kind : {LatticeKind::square, LatticeKind::staggered})
    if (name == name_of(kind)) return kind;
  entry.refuse("lattice must be square or staggered");
}

TrayProfile tray_from(const Entry& entry) {
  TrayProfile tray;
  tray.name = entry.text("name");
  tray.aliases = entry.texts("aliases");
  tray.layout = {entry.whole("rows", 1, 100), entry.whole("cols", 1, 100), lattice_of(entry)};
  tray.pitch_mm = entry.number("pitch_mm", 5, 200);
  tray.row_pitch_mm =
      entry.fields.contains("row_pitch_mm") ? entry.number("row_pitch_mm", 5, 200) : tray.pitch_mm;
  return tray;
}

std::vector<EmergenceTime> emergence_of(const Entry& entry) {
  std::vector<EmergenceTime> times;
  for (const Json& pair : entry.fields.value("emergence", Json::array())) {
    const bool sound = pair.is_array() && pair.size() == 2 && pair[0].is_number() && pair[1].is_number();
    if (!sound) entry.refuse("emergence must list pairs of soil temperature and days");
    times.push_back({pair[0], pair[1]});
    if (times.back().days <= 0) entry.refuse("emergence must take more than 0 days");
    if (times.size() > 1 && times.rbegin()[1].soil_c >= times.back().soil_c)
      entry.refuse("emergence must be listed by rising temperature");
  }
  return times;
}

std::string habit_of(const Entry& entry) {
  std::string habit = entry.text("habit");
  for (const char* known : {"round_pair", "strap_pair", "thread", "unknown"})
    if (habit == known) return habit;
  entry.refuse("habit must be round_pair, strap_pair, thread or unknown");
}

SeedKind seed_of(const Entry& entry) {
  if (!entry.fields.contains("seed")) return SeedKind::single;
  if (entry.text("seed") == "cluster") return SeedKind::cluster;
  entry.refuse("seed must be cluster, or be left out");
}

CropProfile crop_from(const Entry& entry) {
  CropProfile crop;
  crop.name = entry.text("name");
  crop.aliases = entry.texts("aliases");
  crop.habit = habit_of(entry);
  crop.seed = seed_of(entry);
  crop.usual_seeds = entry.maybe_whole("usual_seeds", 1, 50);
  crop.emergence = emergence_of(entry);
  crop.minimum_germination_percent = entry.maybe_whole("minimum_germination_percent", 1, 100);
  if (crop.minimum_germination_percent) crop.minimum_source = entry.text("minimum_source");
  crop.european_union_percent = entry.maybe_whole("european_union_percent", 1, 100);
  crop.first_count_day = entry.maybe_whole("first_count_day", 1, 60);
  crop.final_count_day = entry.maybe_whole("final_count_day", 1, 60);
  return crop;
}

template <typename Profile>
std::vector<Profile> read_list(const std::string& json, const std::string& kind,
                               Profile (*read)(const Entry&)) {
  const Json list = Json::parse(json, nullptr, false);
  if (!list.is_object() || list.value("format", Json()) != "braird-" + kind + "s")
    throw std::invalid_argument("the list of " + kind + "s is no JSON of the format braird-" + kind + "s");
  std::vector<Profile> profiles;
  for (const Json& fields : list.value(kind + "s", Json::array())) {
    const Json told = fields.is_object() ? fields.value("name", Json()) : Json();
    const std::string name = told.is_string() ? told.get<std::string>() : "";
    profiles.push_back(read(
        {fields,
         kind + " " + (name.empty() ? "number " + std::to_string(profiles.size() + 1) : '"' + name + '"')}));
  }
  return profiles;
}

/// Letters and digits in lower case: "Plug 128" and "plug-128" are one name.
std::string key_of(const std::string& name) {
  std::string key;
  for (unsigned char c : name)
    if (std::isalnum(c) || c >= 0x80) key += static_cast<char>(std::tolower(c));
  return key;
}

template <typename Profile>
std::vector<std::string> names_of(const Profile& profile) {
  std::vector<std::string> names = profile.aliases;
  names.insert(names.begin(), profile.name);
  return names;
}

template <typename Profile>
const Profile* find(const std::vector<Profile>& profiles, const std::string& name) {
  for (const Profile& profile : profiles)
    for (const std::string& known : names_of(profile))
      if (key_of(known) == key_of(name)) return &profile;
  return nullptr;
}

template <typename Profile>
std::optional<std::string> nearest(const std::vector<Profile>& profiles, const std::string& name) {
  const std::string wanted = key_of(name);
  std::size_t least = most_slips(wanted.size()) + 1;
  std::optional<std::string> best;
  for (const Profile& profile : profiles)
    for (const std::string& known : names_of(profile))
      if (const std::size_t distance = edit_distance(wanted, key_of(known)); distance < least) {
        least = distance;
        best = known;
      }
  return best;
}

}  // namespace

Profiles read_profiles(const std::string& trays_json, const std::string& crops_json) {
  return {read_list<TrayProfile>(trays_json, "tray", tray_from),
          read_list<CropProfile>(crops_json, "crop", crop_from)};
}

const Profiles& built_in_profiles() {
  static const Profiles profiles = read_profiles(kTrayList, kCropList);
  return profiles;
}

const TrayProfile* find_tray(const Profiles& profiles, const std::string& name) {
  return find(profiles.trays, name);
}
const CropProfile* find_crop(const Profiles& profiles, const std::string& name) {
  return find(profiles.crops, name);
}

std::optional<std::string> nearest_tray(const Profiles& profiles, const std::string& name) {
  return nearest(profiles.trays, name);
}
std::optional<std::string> nearest_crop(const Profiles& profiles, const std::string& name) {
  return nearest(profiles.crops, name);
}

SeedKind seed_kind(const std::optional<std::string>& crop) {
  const CropProfile* known = crop ? find_crop(built_in_profiles(), *crop) : nullptr;
  return known ? known->seed : SeedKind::single;
}

std::optional<double> days_to_emergence(const CropProfile& crop, double soil_c) {
  const auto& table = crop.emergence;
  for (std::size_t i = 0; i < table.size(); ++i) {
    if (table[i].soil_c == soil_c) return table[i].days;
    if (i == 0 || soil_c < table[i - 1].soil_c || soil_c > table[i].soil_c) continue;
    const double share = (soil_c - table[i - 1].soil_c) / (table[i].soil_c - table[i - 1].soil_c);
    return table[i - 1].days + share * (table[i].days - table[i - 1].days);
  }
  return std::nullopt;
}

}  // namespace braird
