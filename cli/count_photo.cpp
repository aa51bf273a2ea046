// SPDX-License-Identifier: Apache-2.0
#include "cli/count_photo.h"

#include <algorithm>
#include <stdexcept>

#include "cli/dates.h"
#include "cli/order.h"
#include "cli/pictures.h"
#include "cli/text/unsown_remark.h"
#include "cli/tray_labels.h"
#include "vision/labels.h"
#include "vision/marked_photo.h"
#include "vision/take_census.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;
using vision::Detail;

/// A label beside a tray to be kept is looked for in the photo's full size too: its code may be too small at
/// the scale that counting needs.
std::vector<vision::SeenLabel> labels_in(const vision::Photo& photo, const fs::path& path,
                                         const Keeper& keeper) {
  auto labels = vision::read_labels(photo);
  const bool wanted = keeper.ledger && keeper.tag.empty();
  if (labels.empty() && wanted && photo.scale < 1) labels = vision::read_labels(vision::load_photo(path));
  return understood(std::move(labels), keeper);
}

void append(std::vector<vision::StageTime>& times, const std::vector<vision::StageTime>& more) {
  times.insert(times.end(), more.begin(), more.end());
}

vision::Reading read_photo(const fs::path& path, Detail detail, const vision::Hints& hints,
                           const Keeper& keeper, const vision::Trace& trace) {
  const vision::Photo photo = vision::load_photo(path, detail);
  vision::Reading reading =
      vision::take_census(photo, hints, trace, [&] { return labels_in(photo, path, keeper); });
  std::vector<vision::StageTime> times = photo.times;
  append(times, reading.times);
  reading.times = std::move(times);
  return reading;
}

/// Each tray is of the lot, crop and day of sowing that its own label says; what holds of several is said
/// once.
void remark_on(Census& census, const Order& order) {
  std::vector<std::string> remarks = order.remarks;
  for (Tray& tray : census.trays) {
    const Order own = order_for(tray, order);
    tray.crop = own.crop_name;
    tray.lot = own.lot;
    if (own.sown) tray.sown_on = iso(*own.sown);
    const Census alone{census.photo, {tray}, {}, census.counted};
    for (const auto& more : {age_remarks(alone, own), against_label(tray, order)})
      for (const std::string& remark : more)
        if (!std::ranges::count(remarks, remark)) remarks.push_back(remark);
    const std::string called =
        census.trays.size() > 1 ? "tray " + std::to_string(&tray - census.trays.data() + 1) : "the tray";
    if (std::string unsown = unsown_remark(tray, called); !unsown.empty())
      remarks.push_back(std::move(unsown));
  }
  census.remarks.insert(census.remarks.end(), remarks.begin(), remarks.end());
}

/// The count stands even if its picture can't be written.
void mark(const fs::path& path, const std::string& name, const CountArguments& arguments,
          const Census& census, std::string& trouble) {
  try {
    save_marked(arguments.marked, name, vision::marked_photo(vision::load_photo(path).bgr, census));
  } catch (const std::exception& why) {
    trouble = why.what();
  }
}

}  // namespace

std::string sentence_of(const fs::path& photo, std::string words) {
  while (!words.empty() && words.back() == '\n') words.pop_back();
  if (!words.starts_with(photo.string()))
    words = photo.string() + ": could not be counted (" + words + "); try another photo of the tray";
  std::replace(words.begin(), words.end(), '\n', ' ');
  return words;
}

PhotoResult count_photo(const fs::path& path, const std::string& name, const CountArguments& arguments,
                        const Order& order, const Keeper& keeper) {
  try {
    std::string trouble;
    const vision::Trace trace = trace_into(arguments.trace, name, trouble);
    vision::Reading reading = read_photo(path, Detail::counting, order.hints, keeper, trace);
    if (reading.wants_detail) {
      std::vector<vision::StageTime> times = std::move(reading.times);
      reading = read_photo(path, Detail::full, order.hints, keeper, trace);
      append(times, reading.times);
      reading.times = std::move(times);
    }
    if (!reading.refusal.empty()) return {{}, path.string() + ": " + reading.refusal, reading.times};
    vision::Stopwatch watch;
    if (PhotoFacts& facts = reading.census.photo; !facts.taken && order.taken)
      facts.taken = iso(*order.taken);
    remark_on(reading.census, order);
    if (!arguments.marked.empty()) mark(path, name, arguments, reading.census, trouble);
    watch.lap("rest");
    append(reading.times, watch.times());
    if (!trouble.empty()) trouble = path.string() + ": counted, but " + trouble;
    return {std::move(reading.census), "", std::move(reading.times), std::move(trouble)};
  } catch (const std::exception& why) {
    return {{}, sentence_of(path, why.what()), {}};
  }
}

}  // namespace braird::cli
