// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/watch.h"

#include <fmt/format.h>
#include <signal.h>

#include <CLI/App.hpp>
#include <atomic>
#include <cmath>

#include "calibration/ledger/census_key.h"
#include "cli/count_photo.h"
#include "cli/folder_watch.h"
#include "cli/keep_photo.h"
#include "cli/ledger_place.h"
#include "cli/order.h"
#include "cli/report/gather.h"
#include "cli/report/page.h"
#include "cli/text/help.h"
#include "cli/whole_file.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;

std::atomic<bool> stop_asked = false;
static_assert(std::atomic<bool>::is_always_lock_free);  // as a signal handler needs

/// SIGINT and SIGTERM only ask to stop, as long as this lives.
struct StopOnSignal {
  struct sigaction interrupt {
  }, terminate{};
  StopOnSignal() {
    stop_asked = false;
    struct sigaction ask {};
    ask.sa_handler = [](int) { stop_asked = true; };
    sigaction(SIGINT, &ask, &interrupt);
    sigaction(SIGTERM, &ask, &terminate);
  }
  ~StopOnSignal() {
    sigaction(SIGINT, &interrupt, nullptr);
    sigaction(SIGTERM, &terminate, nullptr);
  }
  StopOnSignal(const StopOnSignal&) = delete;
  StopOnSignal& operator=(const StopOnSignal&) = delete;
};

/// A signal ends it early.
void sleep_for(double seconds) {
  const timespec pause{static_cast<time_t>(seconds), std::lround(1e9 * (seconds - std::floor(seconds)))};
  if (!stop_asked) nanosleep(&pause, nullptr);
}

/// What is at work while the folder is watched.
struct Bench {
  const WatchArguments& arguments;
  const Console& console;
  Keeper keeper;
  report::PhotoShelf shelf{};
  std::int64_t ledger_seen = -1;  ///< changes that other programs made to it
  bool fresh = true;              ///< the page is behind
  ExitCode code = ExitCode::ok;

  void say(const std::string& sentence) const { console.err << "braird: " << sentence << '\n' << std::flush; }
};

void count_one(Bench& bench, const fs::path& photo) {
  try {
    if (ledger::knows_photo(*bench.keeper.ledger, ledger::content_hash(photo))) return;
    const Order order = order_as_kept(bench.arguments.count, bench.keeper, photo);
    const PhotoResult result = count_photo(photo, "", bench.arguments.count, order, bench.keeper);
    if (!result.complaint.empty()) throw std::runtime_error(result.complaint);
    bench.console.out << keep_photo(bench.keeper, photo, result.census, order);
    for (const std::string& remark : result.census.remarks)
      bench.console.out << fmt::format("braird: {}: {}\n", photo.string(), remark);
    bench.console.out << std::flush;
    bench.fresh = true;
  } catch (const std::exception& why) {
    bench.say(sentence_of(photo, why.what()));
    bench.code = ExitCode::not_all_done;
  }
}

void refresh_report(Bench& bench) {
  if (bench.arguments.report.empty()) return;
  const std::int64_t changes = bench.keeper.ledger->file().single("PRAGMA data_version");
  if (!bench.fresh && changes == bench.ledger_seen) return;
  bench.ledger_seen = changes;
  bench.fresh = false;
  try {
    write_whole_file(bench.arguments.report,
                     report::page(report::make_report(*bench.keeper.ledger, {}, bench.shelf)));
  } catch (const std::exception& why) {
    bench.say(why.what());
    bench.code = ExitCode::not_all_done;
  }
}

void look(Bench& bench, FolderWatch& watch) {
  for (const fs::path& photo : photos_to_count(watch, Clock::now())) {
    if (stop_asked) return;
    count_one(bench, photo);
  }
  refresh_report(bench);
}

}  // namespace

CLI::App* add_watch(CLI::App& app, WatchArguments& arguments) {
  CLI::App* watch = app.add_subcommand("watch", "Count and keep each new photo that arrives in a folder");
  watch->add_option("FOLDER", arguments.folder, "Where a phone's photos arrive")->required();
  add_told(*watch, arguments.count);
  watch->add_option("--report", arguments.report,
                    "Write the season's page into this file, anew after each change");
  watch->add_option("--every", arguments.every, "Seconds between two looks")
      ->capture_default_str()
      ->check(CLI::Range(0.05, 3600.));
  watch->add_flag("--once", arguments.once, "Count what lies there, and end");
  add_ledger_option(*watch, arguments.count.ledger);
  set_help(*watch, {"--tray", "--crop", "--seeds", "--sown", "--lot", "--report", "--once"},
           "braird watch arrivals --crop kale --seeds 1 --report season.html");
  return watch;
}

ExitCode run_watch(const WatchArguments& arguments, const Console& console) {
  const StopOnSignal stop;
  WatchArguments told = arguments;
  told.count.keep = true;
  require_ending("--report", told.report, {".html", ".htm"});
  if (!told.report.empty()) require_place_for(told.report);
  Keeper keeper = keeper_for(told.count);
  understand(told.count, built_in_profiles());  // what makes no sense is said at once
  Bench bench{told, console, std::move(keeper)};
  FolderWatch watch{told.folder};
  if (told.once) watch.still = watch.patience = std::chrono::milliseconds(0);
  look(bench, watch);
  if (told.once) return bench.code;
  bench.say(fmt::format("watching {}; Ctrl+C ends it", told.folder.string()));
  while (!stop_asked) {
    sleep_for(told.every);
    if (!stop_asked) look(bench, watch);
  }
  return ExitCode::ok;
}

}  // namespace braird::cli
