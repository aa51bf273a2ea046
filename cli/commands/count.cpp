// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/count.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>

#include "calibration/census_json.h"
#include "cli/keep_photo.h"
#include "cli/ledger_place.h"
#include "cli/order.h"
#include "cli/pictures.h"
#include "cli/text/answer.h"
#include "cli/text/help.h"
#include "cli/text/progress.h"
#include "cli/text/seeds_answer.h"
#include "cli/tray_labels.h"
#include "vision/labels.h"
#include "vision/marked_photo.h"
#include "vision/take_census.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;

/// One photo's census; its pictures are called `name`. Throws std::runtime_error with a sentence that names
/// the photo.
Census count_photo(const fs::path& path, const std::string& name, const CountArguments& arguments,
                   const Order& order, const Keeper& keeper) {
  const vision::Photo photo = vision::load_photo(path);
  vision::Hints hints = order.hints;
  hints.labels = understood(vision::read_labels(photo.bgr), keeper);
  vision::Reading reading = vision::take_census(photo, hints, trace_into(arguments.trace, name));
  if (!reading.refusal.empty()) throw std::runtime_error(path.string() + ": " + reading.refusal);
  Census& census = reading.census;
  for (Tray& tray : census.trays) tray.crop = order_for(tray, order).crop_name;
  const bool all_labelled =
      std::ranges::all_of(census.trays, [](const Tray& tray) { return tray.label.has_value(); });
  const auto& aged = all_labelled ? order_for(census.trays[0], order) : order;
  for (const auto& more : {order.remarks, age_remarks(photo.facts, aged)})
    census.remarks.insert(census.remarks.end(), more.begin(), more.end());
  if (!arguments.marked.empty()) save_marked(arguments.marked, name, vision::marked_photo(photo.bgr, census));
  return std::move(reading.census);
}

std::string result_line(const Census& census, const CountArguments& arguments, const Order& order) {
  if (!arguments.json) return answer(census, order);
  // File names need not be UTF-8; JSON must be.
  return to_json(census).dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + '\n';
}

/// A line that later lines overwrite; only on a terminal, and only for several photos.
struct Progress {
  const Console& console;
  std::size_t total;
  bool shown = console.err_is_terminal && total > 1;

  void show(std::size_t done, const fs::path& photo) const {
    if (shown)
      console.err << "\r\033[K" << progress_line(done, total, photo.filename().string()) << std::flush;
  }
  void clear() const {
    if (shown) console.err << "\r\033[K" << std::flush;
  }
};

/// One line that names the photo, also where a library's words do not.
std::string sentence_of(const fs::path& photo, std::string words) {
  while (!words.empty() && words.back() == '\n') words.pop_back();
  std::replace(words.begin(), words.end(), '\n', ' ');
  if (words.starts_with(photo.string())) return words;
  return photo.string() + ": could not be counted (" + words + "); try another photo of the tray";
}

}  // namespace

CLI::App* add_count(CLI::App& app, CountArguments& arguments) {
  CLI::App* count = app.add_subcommand("count", "Count the seedlings in photos of trays");
  count->add_option("PHOTO", arguments.photos, "Photos to count: JPEG, PNG, WebP or TIFF")->required();
  count->add_option("--of", arguments.of,
                    "What to count: seedlings, or seeds lying in view before they are covered (seedlings)");
  count->add_option("--tray", arguments.tray, "The tray: ROWSxCOLUMNS, or a known name such as plug-128");
  count->add_option("--lattice", arguments.lattice, "How its cells stand: square or staggered");
  count
      ->add_option(
          "--corners", arguments.corners,
          "If the cells are not found: the four corner cells' centres in pixels, x,y each, clockwise from "
          "the first row's first cell; with --tray")
      ->expected(4);
  count->add_option("--crop", arguments.crop, "What was sown, such as leek");
  count->add_option("--seeds", arguments.seeds, "How many seeds were sown in a cell");
  count->add_option("--sown", arguments.sown, "When it was sown: YYYY-MM-DD");
  count->add_option("--taken", arguments.taken,
                    "When the photos were taken, if they do not tell: YYYY-MM-DD");
  count->add_option("--lot", arguments.lot, "The seed lot, as written on the pack");
  count->add_option("--tag", arguments.tag, "What the tray's label says, where the photo does not show it");
  count->add_flag("--as-before", arguments.as_before,
                  "With --tag: the tray lies the same way round as before");
  count->add_flag("--keep", arguments.keep, "Remember the count in the ledger");
  add_ledger_option(*count, arguments.ledger);
  count->add_flag("--json", arguments.json, "Print the census as JSON, one line a photo");
  count->add_option("--marked", arguments.marked,
                    "Write each photo with its counts drawn on it into this folder");
  count->add_option("--trace", arguments.trace, "Write a picture of each stage of the work into this folder");
  set_help(
      *count,
      {"--tray", "--crop", "--seeds", "--sown", "--taken", "--lot", "--of", "--keep", "--json", "--marked"},
      "braird count --crop kale --seeds 1 --sown 2026-04-02 bench.jpg");
  return count;
}

ExitCode run_count(const CountArguments& arguments, const Console& console) {
  if (arguments.keep && arguments.of == "seeds")
    throw std::invalid_argument("--keep remembers seedlings only; count seeds without it");
  Keeper keeper = keeper_for(arguments);
  const Order order = understand(arguments_with_tag(arguments, keeper), built_in_profiles());
  const Progress progress{console, arguments.photos.size()};
  const std::vector<std::string> names = picture_names(arguments.photos);
  ExitCode code = ExitCode::ok;
  std::vector<Tray> sown;  // trays counted for seeds
  for (std::size_t i = 0; i < arguments.photos.size(); ++i) {
    const fs::path& photo = arguments.photos[i];
    progress.show(i, photo);
    try {
      const Census census = count_photo(photo, names[i], arguments, order, keeper);
      if (census.counted == Counted::seeds) sown.insert(sown.end(), census.trays.begin(), census.trays.end());
      progress.clear();
      console.out << result_line(census, arguments, order) << std::flush;
      if (keeper.ledger) console.err << keep_photo(keeper, photo, census, order) << std::flush;
    } catch (const std::exception& why) {
      progress.clear();
      console.err << "braird: " << sentence_of(photo, why.what()) << '\n';
      code = ExitCode::not_all_done;
    }
  }
  if (!arguments.json) console.out << holes_answer(sown);
  return code;
}

Command count_command(CLI::App& app) {
  const auto arguments = std::make_shared<CountArguments>();
  return {add_count(app, *arguments),
          [arguments](const Console& console) { return run_count(*arguments, console); }};
}

}  // namespace braird::cli
