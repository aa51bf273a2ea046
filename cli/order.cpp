// SPDX-License-Identifier: Apache-2.0
#include "cli/order.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <stdexcept>

#include "calibration/figure_words.h"
#include "calibration/limits.h"
#include "cli/dates.h"
#include "cli/typed_words.h"
#include "vision/lattice.h"

namespace braird::cli {
namespace {

void require(bool holds, const std::string& otherwise) {
  if (!holds) throw std::invalid_argument(otherwise);
}

void understand_tray(const CountArguments& arguments, const Profiles& profiles, vision::Hints& hints) {
  for (const TrayProfile& tray : profiles.trays) hints.known_layouts.push_back(tray.layout);
  hints.lattice = lattice_called(arguments.lattice);
  if (arguments.tray.empty()) return;
  std::optional<Layout> layout = shape_called(arguments.tray);
  if (!layout) {
    layout = tray_called(profiles, arguments.tray).layout;
    require(!hints.lattice || *hints.lattice == layout->lattice,
            fmt::format("--lattice {} contradicts --tray {}, which is {}; leave one of them out",
                        arguments.lattice, arguments.tray, name_of(layout->lattice)));
    hints.lattice = layout->lattice;
  }
  hints.stated_by = arguments.tray_told_by;
  hints.rows = layout->rows;
  hints.cols = layout->cols;
}

/// "412.5,80" as a point.
Point point_called(const std::string& text) {
  Point point;
  const char *comma = text.data() + std::min(text.find(','), text.size()), *end = text.data() + text.size();
  const auto x = std::from_chars(text.data(), comma, point.x);
  const auto y = std::from_chars(std::min(comma + 1, end), end, point.y);
  require(x.ec == std::errc() && x.ptr == comma && y.ec == std::errc() && y.ptr == end &&
              std::isfinite(point.x) && std::isfinite(point.y),
          fmt::format("--corners {}: must be x,y in pixels, as in 412,80", text));
  return point;
}

void understand_corners(const CountArguments& arguments, vision::Hints& hints) {
  if (arguments.corners.empty()) return;
  require(arguments.corners.size() == 4, "--corners: must be four points x,y");
  require(hints.rows.has_value(), "--corners: needs the rows and columns too; tell them with --tray");
  require(*hints.rows >= 2 && *hints.cols >= 2, "--corners: needs at least two rows and two columns");
  std::array<Point, 4> corners;
  std::transform(arguments.corners.begin(), arguments.corners.end(), corners.begin(), point_called);
  hints.corners = corners;
  try {
    vision::lattice_from_corners(hints);
  } catch (const std::invalid_argument& why) {
    throw std::invalid_argument(fmt::format("--corners: {}", why.what()));
  }
}

Counted counted_called(const std::string& name) {
  if (name.empty()) return Counted::seedlings;
  for (Counted counted : {Counted::seedlings, Counted::seeds})
    if (name == name_of(counted)) return counted;
  throw std::invalid_argument(fmt::format("--of {}: must be seedlings or seeds", name));
}

void understand_crop(const std::string& name, const Profiles& profiles, Order& order) {
  if (name.empty()) return;
  order.crop = find_crop(profiles, name);
  order.crop_name = order.crop ? order.crop->name : name;
  if (order.crop) {
    order.hints.habit = habit_called(order.crop->habit);
    return;
  }
  if (order.hints.counted == Counted::seeds) return;  // how seedlings look does not matter yet
  order.remarks.push_back(unlisted_crop(profiles, name) +
                          ", so its seedlings were counted without knowing how they look");
}

}  // namespace

vision::SeedlingHabit habit_called(const std::string& name) {
  using vision::SeedlingHabit;
  if (name == "round_pair") return SeedlingHabit::round_pair;
  if (name == "strap_pair") return SeedlingHabit::strap_pair;
  return name == "thread" ? SeedlingHabit::thread : SeedlingHabit::unknown;
}

Order understand(const CountArguments& arguments, const Profiles& profiles) {
  Order order;
  order.hints.counted = counted_called(arguments.of);
  understand_tray(arguments, profiles, order.hints);
  understand_corners(arguments, order.hints);
  understand_crop(arguments.crop, profiles, order);
  if (arguments.seeds)
    require(*arguments.seeds >= 1 && *arguments.seeds <= kMostSeedsPerCell,
            fmt::format("--seeds {}: must be from 1 to {}", *arguments.seeds, kMostSeedsPerCell));
  order.hints.seeds_per_cell = arguments.seeds;
  order.hints.plant_places = arguments.keep;
  if (!arguments.sown.empty()) order.sown = parse_date("--sown", arguments.sown);
  if (!arguments.taken.empty()) order.taken = parse_date("--taken", arguments.taken);
  if (!arguments.lot.empty()) order.lot = lot_called(arguments.lot);
  return order;
}

std::optional<std::chrono::sys_days> day_taken(const PhotoFacts& photo, const Order& order) {
  return photo.taken ? day_of(*photo.taken) : order.taken;
}

std::optional<int> age_days(const PhotoFacts& photo, const Order& order) {
  const auto taken = day_taken(photo, order);
  if (!taken || !order.sown || *taken < *order.sown) return std::nullopt;
  return static_cast<int>((*taken - *order.sown).count());
}

std::vector<std::string> age_remarks(const Census& census, const Order& order) {
  constexpr int kNothingUp = 1, kLongInTray = 365;  // days; common practice, no source
  const auto age = age_days(census.photo, order);
  std::vector<std::string> remarks;
  if (const auto day = day_taken(census.photo, order); order.taken && day != order.taken)
    remarks.push_back(fmt::format("the photo itself says that it was taken on {}, so --taken {} was not used",
                                  iso(*day), iso(*order.taken)));
  if (census.counted == Counted::seedlings) {
    const bool up = std::ranges::any_of(census.trays, has_any_up);
    if (up && age && *age <= kNothingUp)
      remarks.push_back(
          fmt::format("{} nothing can be up yet: what was counted are seeds lying in view, weeds or litter; "
                      "seeds are counted with --of seeds",
                      *age == 0 ? "on the day of sowing" : "a day after sowing"));
    const bool told =
        std::ranges::all_of(census.trays, [](const Tray& tray) { return tray.seeds_in_view.has_value(); });
    if (!up && !told && !(age && *age <= kNothingUp)) remarks.emplace_back(kNothingSeen);
  }
  if (age && *age > kLongInTray)
    remarks.push_back(fmt::format(
        "the photo was taken {} days after sowing; check --sown and the photo's date", grouped(*age)));
  if (!order.sown || age) return remarks;
  remarks.emplace_back(
      day_taken(census.photo, order)
          ? "the photo was taken before the sowing date; check --sown and the photo's date"
          : "the photo does not tell when it was taken, so the days since sowing are not known; tell it with "
            "--taken DATE");
  return remarks;
}

}  // namespace braird::cli
