// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/count.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <nlohmann/json.hpp>
#include <opencv2/core/utility.hpp>
#include <thread>

#include "calibration/census_json.h"
#include "calibration/json_words.h"
#include "cli/count_photo.h"
#include "cli/counted_page.h"
#include "cli/in_order.h"
#include "cli/keep_photo.h"
#include "cli/ledger_place.h"
#include "cli/order.h"
#include "cli/pictures.h"
#include "cli/text/answer.h"
#include "cli/text/help.h"
#include "cli/text/progress.h"
#include "cli/text/seeds_answer.h"
#include "cli/text/wrapped.h"
#include "cli/whole_file.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;

std::string result_line(const Census& census, const CountArguments& arguments, const Order& order,
                        const Console& console) {
  if (!arguments.json) return for_terminal(answer(census, order), console.columns);
  // File names need not be UTF-8; JSON must be.
  return text_of(to_json(census)) + '\n';
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

/// So many threads within a photo; as before at the end of the scope.
struct ThreadsOfOpenCv {
  int before = cv::getNumThreads();
  explicit ThreadsOfOpenCv(int threads) { cv::setNumThreads(threads); }
  ThreadsOfOpenCv(const ThreadsOfOpenCv&) = delete;
  ThreadsOfOpenCv& operator=(const ThreadsOfOpenCv&) = delete;
  ~ThreadsOfOpenCv() { cv::setNumThreads(before); }
};

/// "braird: PHOTO: file 2 (2), decode 48 (48), … all 213 (210) ms": on the clock, and of processor time in
/// brackets.
std::string timing_line(const fs::path& photo, const std::vector<vision::StageTime>& times) {
  std::string text = fmt::format("braird: {}: ", photo.string());
  vision::StageTime all{"all"};
  for (const vision::StageTime& time : times) {
    text += fmt::format("{} {:.0f} ({:.0f}), ", time.stage, time.wall_ms, time.processor_ms);
    all.wall_ms += time.wall_ms;
    all.processor_ms += time.processor_ms;
  }
  return text + fmt::format("{} {:.0f} ({:.0f}) ms\n", all.stage, all.wall_ms, all.processor_ms);
}

/// Where photos are kept, the ledger fills in labels from those before.
bool one_after_another(const CountArguments& arguments) {
  return arguments.keep || arguments.timing;
}

/// How many photos are counted at once.
std::size_t jobs_for(const CountArguments& arguments) {
  if (one_after_another(arguments)) return 1;
  const std::size_t cores = std::max(1U, std::thread::hardware_concurrency());
  return std::min(arguments.jobs.value_or(cores), arguments.photos.size());
}

/// What can't be written later is told before the photos are counted.
void check_places(const CountArguments& arguments) {
  for (const fs::path& folder : {arguments.marked, arguments.trace})
    if (!folder.empty()) require_folder(folder);
  require_ending("--page", arguments.page, {".html", ".htm"});
  if (!arguments.page.empty()) require_place_for(arguments.page);
}

}  // namespace

void add_told(CLI::App& command, CountArguments& arguments) {
  command.add_option("--tray", arguments.tray, "The tray: ROWSxCOLUMNS, or a known name such as plug-128");
  command.add_option("--lattice", arguments.lattice, "How its cells stand: square or staggered");
  command
      .add_option(
          "--corners", arguments.corners,
          "If the cells are not found: the four corner cells' centres in pixels, x,y each, clockwise from "
          "the first row's first cell; with --tray")
      ->expected(4);
  command.add_option("--crop", arguments.crop, "What was sown, such as leek");
  command.add_option("--seeds", arguments.seeds, "How many seeds were sown in a cell");
  command.add_option("--sown", arguments.sown, "When it was sown: YYYY-MM-DD");
  command.add_option("--taken", arguments.taken,
                     "When the photos were taken, if they do not tell: YYYY-MM-DD");
  command.add_option("--lot", arguments.lot, "The seed lot, as written on the pack");
}

CLI::App* add_count(CLI::App& app, CountArguments& arguments) {
  CLI::App* count = app.add_subcommand("count", "Count the seedlings in photos of trays");
  count->add_option("PHOTO", arguments.photos, "Photos to count: JPEG, PNG, WebP, TIFF or HEIC")->required();
  count->add_option("--of", arguments.of,
                    "What to count: seedlings, or seeds lying in view before they are covered (seedlings)");
  add_told(*count, arguments);
  count->add_option("--tag", arguments.tag, "What the tray's label says, where the photo does not show it");
  count->add_flag("--as-before", arguments.as_before,
                  "With --tag: the tray lies the same way round as before");
  count->add_flag("--keep", arguments.keep, "Remember the count in the ledger");
  add_ledger_option(*count, arguments.ledger);
  count->add_flag("--json", arguments.json, "Print the census as JSON, one line a photo");
  count->add_option("--marked", arguments.marked,
                    "Write each photo with its counts drawn on it into this folder");
  count->add_option(
      "--page", arguments.page,
      "Write one HTML page of what was counted, as report does for what is kept, into this file");
  count
      ->add_option(
          "--jobs", arguments.jobs,
          "How many photos to count at once (as many as there are processor cores; one with --keep or "
          "--timing)")
      ->check(CLI::Range(1, 256));
  count->add_flag("--timing", arguments.timing,
                  "Say on standard error how long each stage took, one photo at a time");
  count->add_option("--trace", arguments.trace, "Write a picture of each stage of the work into this folder");
  set_help(*count,
           {"--tray", "--crop", "--seeds", "--sown", "--taken", "--lot", "--of", "--keep", "--json",
            "--marked", "--page"},
           "braird count --crop pea --seeds 1 --sown 2026-04-02 --taken 2026-04-12 a.jpg");
  return count;
}

ExitCode run_count(const CountArguments& arguments, const Console& console) {
  if (arguments.keep && arguments.of == "seeds")
    throw std::invalid_argument("--keep remembers seedlings only; count seeds without it");
  if (!arguments.page.empty() && arguments.of == "seeds")
    throw std::invalid_argument("--page shows seedlings only; count seeds without it");
  std::optional<CountedPage> page;
  if (!arguments.page.empty()) page.emplace();
  Keeper keeper = keeper_for(arguments);
  const CountArguments told = arguments_with_tag(arguments, keeper);
  std::vector<Order> orders(arguments.photos.size(), understand(told, built_in_profiles()));
  check_places(arguments);
  if (one_after_another(arguments) && arguments.jobs.value_or(1) > 1)
    console.err << "braird: --jobs was not used: photos that are kept or timed are counted one at a time\n";
  const Progress progress{console, arguments.photos.size()};
  const std::vector<std::string> names = picture_names(arguments.photos);
  ExitCode code = ExitCode::ok;
  std::vector<Tray> sown;  // trays counted for seeds
  const auto make = [&](std::size_t i) {
    const fs::path& photo = arguments.photos[i];
    if (keeper.ledger) orders[i] = order_as_kept(told, keeper, photo);
    return count_photo(photo, names[i], arguments, orders[i], keeper);
  };
  const auto take = [&](std::size_t i, const PhotoResult& result) {
    const fs::path& photo = arguments.photos[i];
    progress.clear();
    try {
      if (arguments.timing) console.err << timing_line(photo, result.times);
      if (!result.complaint.empty()) {
        if (page) page->add_uncounted(photo, result.complaint, orders[i]);
        throw std::runtime_error(result.complaint);
      }
      const Census& census = result.census;
      const Order& order = orders[i];
      if (census.counted == Counted::seeds) sown.insert(sown.end(), census.trays.begin(), census.trays.end());
      console.out << result_line(census, arguments, order, console) << std::flush;
      if (keeper.ledger) console.err << keep_photo(keeper, photo, census, order) << std::flush;
      if (page && !census.trays.empty()) page->add(photo, census, order);
      if (!result.unwritten.empty()) throw std::runtime_error(result.unwritten);
    } catch (const std::exception& why) {
      console.err << "braird: " << why.what() << '\n';
      code = ExitCode::not_all_done;
    }
    if (i + 1 < names.size()) progress.show(i + 1, arguments.photos[i + 1]);
  };
  progress.show(0, arguments.photos[0]);
  const std::size_t jobs = jobs_for(arguments);
  const ThreadsOfOpenCv threads(jobs > 1 ? 1 : cv::getNumThreads());
  in_order(names.size(), jobs, make, take);
  progress.clear();
  if (!arguments.json) console.out << for_terminal(holes_answer(sown), console.columns);
  if (page) console.err << page->write(arguments.page);
  return code;
}

}  // namespace braird::cli
