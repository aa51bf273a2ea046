// SPDX-License-Identifier: Apache-2.0
#include "tests/fuzz/targets.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>

#include "calibration/advice.h"
#include "calibration/census_json.h"
#include "calibration/census_lots.h"
#include "calibration/csv.h"
#include "calibration/economy.h"
#include "calibration/hand_counts.h"
#include "calibration/ledger/ledger.h"
#include "calibration/ledger/packing.h"
#include "calibration/ledger/transfer.h"
#include "calibration/lot_report.h"
#include "calibration/profiles.h"
#include "calibration/tray_label.h"
#include "cli/check_counts.h"
#include "cli/tray_labels.h"
#include "vision/labels.h"
#include "vision/lattice.h"
#include "vision/take_census.h"

namespace braird::fuzz {
namespace {

/// What must hold whatever the bytes are.
void hold(bool condition, const char* what) {
  if (!condition) throw std::logic_error(what);
}

std::string text_of(Bytes bytes) {
  return {bytes.begin(), bytes.end()};
}

/// The parts of the bytes between bytes of 0; at least `count`, missing ones empty.
std::vector<std::string> parts_of(Bytes bytes, std::size_t count) {
  std::vector<std::string> parts(1);
  for (const unsigned char byte : bytes)
    if (byte == 0)
      parts.emplace_back();
    else
      parts.back() += static_cast<char>(byte);
  parts.resize(std::max(parts.size(), count));
  return parts;
}

/// Where chances are asked for, they are chances.
void report_on_all(const std::vector<Lot>& lots) {
  for (const Lot& lot : lots)
    for (const Finding& finding : report_on(lot).findings)
      hold(finding.p_adjusted >= 0 && finding.p_adjusted < 1, "a finding is likelier than chance");
  overdispersion_across(lots);
}

void codecs(Bytes bytes) {
  const vision::Photo photo = vision::photo_from(bytes, "photo", vision::Detail::counting);
  hold(photo.bgr.type() == CV_8UC3, "a photo is 8-bit colour");
  vision::read_labels(photo);
}

/// A census takes a second under sanitizers; photos of more than 100,000 pixels only take longer.
void photo(Bytes bytes) {
  constexpr std::size_t kMostPixels = 100'000;
  const vision::Photo photo = vision::photo_from(bytes, "photo", vision::Detail::counting);
  if (photo.bgr.total() > kMostPixels) return;
  vision::Hints hints;
  hints.labels = vision::read_labels(photo);
  const vision::Reading reading = vision::take_census(photo, hints);
  hold(reading.refusal.empty() != reading.census.trays.empty(), "trays, or why none");
  hold(to_json(census_from_json(to_json(reading.census))) == to_json(reading.census), "a census reads back");
}

/// Region, centres, staggered and core as the network would give them, 8 bits each.
void maps(Bytes bytes) {
  constexpr int kWidth = 64, kHeight = 48;
  cv::Mat planes(4 * kHeight, kWidth, CV_8U, cv::Scalar(0)), real;
  std::copy_n(bytes.begin(), std::min(bytes.size(), planes.total()), planes.data);
  planes.convertTo(real, CV_32F, 1 / 255.0);
  const auto plane = [&](int i) { return real.rowRange(i * kHeight, (i + 1) * kHeight).clone(); };
  vision::LatticeMaps seen{.region = plane(0), .core = plane(3), .centres = plane(1), .staggered = plane(2),
                           .frame = {0, 0, kWidth, kHeight}, .fault = "", .map_from_photo = 1, .origin = {},
                           .lens = vision::straight_lens({kWidth, kHeight}), .smaller = {}};
  const vision::LatticeSearch search = vision::find_in_maps(seen, {});
  hold(search.refusal.empty() != search.lattices.empty(), "lattices, or why none");
}

void census(Bytes bytes) {
  using Json = nlohmann::ordered_json;
  const Json json = Json::parse(bytes.begin(), bytes.end(), nullptr, false);
  if (json.is_discarded()) return;
  const Census census = census_from_json(json);
  const auto print = [](const Census& one) {
    return to_json(one).dump(-1, ' ', false, Json::error_handler_t::replace);
  };
  print(census_from_json(Json::parse(print(census))));
  for (const Tray& tray : census.trays) {
    auto cells = tray.cells;
    ledger::unpack_counts(ledger::pack_counts(tray.cells), cells);
    ledger::unpack_places(ledger::pack_places(tray.cells, tray.layout.cols), tray.layout.cols, cells);
    ledger::unpack_plants(ledger::pack_plants(tray.cells), cells);
  }
  report_on_all(lots_of(std::vector{census, census}, {}));
}

/// The list of trays, that of crops, and that of prices.
void profiles(Bytes bytes) {
  const auto lists = parts_of(bytes, 3);
  const auto attempt = [](const auto& read) {
    try {
      read();
    } catch (const std::invalid_argument&) {
    }
  };
  attempt([&] { with_list(built_in_economy(), lists[2]); });
  const Profiles read = read_profiles(lists[0], lists[1]);
  for (const TrayProfile& tray : read.trays)
    hold(find_tray(read, tray.name) != nullptr, "a tray is found by its name");
  for (const CropProfile& crop : read.crops) days_to_emergence(crop, 15);
}

void counts(Bytes bytes) {
  const auto attempt = [&](const auto& read) {
    std::istringstream in(text_of(bytes));
    try {
      read(in);
    } catch (const std::invalid_argument&) {
    }
  };
  attempt([](std::istream& in) { cli::read_counts(in, "counts.csv"); });
  for (const DailyCounts daily : {DailyCounts::newly_up, DailyCounts::up_in_all})
    attempt([&](std::istream& in) {
      report_on_all(read_hand_counts(in, "counts.csv", {100, 2, LatticeKind::square, daily, {}}));
    });
}

void label(Bytes bytes) {
  const std::string text = text_of(bytes);
  cli::layout_on_label(text);
  const auto seen = read_label_text(text);
  if (seen) hold(read_label_text(label_text(*seen)) == seen, "a label's text reads back");
}

/// The first two bytes are rows and columns.
void packing(Bytes bytes) {
  if (bytes.size() < 2) return;
  const int rows = 1 + bytes[0] % 30, cols = 1 + bytes[1] % 30;
  std::vector<Cell> cells(static_cast<std::size_t>(rows) * static_cast<std::size_t>(cols));
  const ledger::Bytes packed = text_of(bytes.subspan(2));
  const auto attempt = [](const auto& read) {
    try {
      read();
    } catch (const std::invalid_argument&) {
    }
  };
  attempt([&] { ledger::unpack_counts(packed, cells); });
  attempt([&] { ledger::unpack_places(packed, cols, cells); });
  attempt([&] { ledger::unpack_plants(packed, cells); });
  attempt([&] { ledger::unpack_corners(packed); });
}

/// Tables one after another, each under a line that is its name.
void tables(Bytes bytes) {
  std::map<std::string, std::string> texts;
  std::istringstream in(text_of(bytes));
  std::string line, name;
  while (std::getline(in, line)) {
    if (std::ranges::count(ledger::table_names(), line) > 0)
      name = line;
    else
      texts[name] += line + '\n';
  }
  std::map<std::string, ledger::TextTable> rows;
  for (const auto& [table, text] : texts) {
    std::istringstream csv(text);
    for (CsvRow& row : read_csv(csv)) rows[table].push_back(std::move(row.fields));
  }
  rows.erase("");
  ledger::Ledger ledger(ledger::kInMemory, ledger::Access::write);
  ledger::import_tables(ledger, rows);
  for (const std::string& table : ledger::table_names()) ledger::export_table(ledger, table);
}

constexpr Target kTargets[] = {{"codecs", codecs}, {"photo", photo},       {"maps", maps},
                               {"census", census}, {"profiles", profiles}, {"counts", counts},
                               {"label", label},   {"packing", packing},   {"tables", tables}};

}  // namespace

std::span<const Target> targets() {
  return kTargets;
}

void run_quietly(const Target& target, Bytes bytes) {
  try {
    target.run(bytes);
  } catch (const std::invalid_argument&) {
  } catch (const std::runtime_error&) {
  }
}

}  // namespace braird::fuzz
