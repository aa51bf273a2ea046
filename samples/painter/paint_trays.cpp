// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <CLI/CLI.hpp>
#include <atomic>
#include <cstdio>
#include <filesystem>
#include <fstream>
#if defined(__GLIBC__)
#include <malloc.h>
#endif
#include <thread>

#include "samples/painter/days.h"
#include "samples/painter/truth_json.h"
#include "vision/codecs/codec.h"

namespace {

namespace fs = std::filesystem;
using namespace braird::painter;

struct Arguments {
  fs::path out;
  std::uint64_t first = 1;
  int count = 1;
  int width = 1600;
  int jobs = 1;
  int least_cells = 0;
  bool days = false;
  Shares shares;
};

void save(const Scene& scene, const std::string& name, const Arguments& args) {
  const PaintedPhoto photo = paint(scene);
  std::ofstream jpeg(args.out / (name + ".jpg"), std::ios::binary);
  jpeg << braird::vision::encode_jpeg(photo.picture, scene.finish.jpeg_quality);
  if (!jpeg.flush()) throw std::runtime_error(fmt::format("the photo {} can't be written", name));
  std::ofstream truth(args.out / (name + ".truth.json"));
  truth << truth_json(scene, photo, name + ".jpg").dump() << '\n';
  if (!truth) throw std::runtime_error(fmt::format("the truth beside {} can't be written", name));
}

void paint_scene(std::uint64_t seed, const Arguments& args) {
  const std::string name = fmt::format("s{:07}", seed);
  if (!args.days) {
    const Scene scene = any_scene(seed, args.width, args.shares);
    const int cells = scene.trays.empty() ? 0 : scene.trays[0].rows * scene.trays[0].cols;
    if (cells >= args.least_cells) save(scene, name, args);
    return;
  }
  const auto coming = any_coming_up(seed, args.width, args.shares);
  for (std::size_t day = 0; coming && day < std::size(kPhotographed); ++day)
    save(on_day(coming->scene, kPhotographed[day], coming->course), fmt::format("{}-{}", name, day), args);
}

/// Large pictures come and go by the dozen: keeping their memory halves the time a scene takes.
void keep_freed_memory() {
#if defined(__GLIBC__)
  mallopt(M_MMAP_THRESHOLD, 1 << 30);
  mallopt(M_TRIM_THRESHOLD, 2000000000);
  mallopt(M_ARENA_MAX, 1);  // a thread's own arena holds no block beyond 64 MB
#endif
}

void paint_all(const Arguments& args) {
  fs::create_directories(args.out);
  cv::setNumThreads(1);
  keep_freed_memory();
  std::atomic<int> next{0};
  std::atomic<bool> failed{false};
  std::string reason;
  const auto work = [&] {
    for (int i = next++; i < args.count && !failed; i = next++) try {
        paint_scene(args.first + static_cast<std::uint64_t>(i), args);
      } catch (const std::exception& fault) {
        if (!failed.exchange(true)) reason = fault.what();
      }
  };
  std::vector<std::thread> workers;
  workers.reserve(static_cast<std::size_t>(args.jobs));
  for (int job = 0; job < args.jobs; ++job) workers.emplace_back(work);
  for (std::thread& worker : workers) worker.join();
  if (failed) throw std::runtime_error(reason);
}

}  // namespace

int main(int argc, char** argv) try {
  Arguments args;
  CLI::App app(
      "Paints photos of sowing trays whose truth is known: NAME.jpg and NAME.truth.json for each seed.");
  app.add_option("--out", args.out, "folder for the photos")->required();
  app.add_option("--first", args.first, "seed of the first photo");
  app.add_option("--count", args.count, "how many photos")->check(CLI::Range(1, 10000000));
  app.add_option("--width", args.width, "longer side of a photo, px; 0: what its cells need to be seen")
      ->check(CLI::Range(0, 8000));
  app.add_option("--seeds-share", args.shares.seeds, "share of photos taken before the seeds are covered")
      ->check(CLI::Range(0.0, 0.87));
  app.add_option("--careful-share", args.shares.careful,
                 "share of photos in good light, sharp and free of noise")
      ->check(CLI::Range(0.0, 1.0));
  app.add_option("--ordinary-share", args.shares.ordinary,
                 "share of careful photos of common crops about a week after sowing")
      ->check(CLI::Range(0.0, 1.0));
  app.add_option("--several-trays-share", args.shares.several_trays, "share of photos of more than one tray")
      ->check(CLI::Range(0.0, 1.0));
  app.add_option("--several-seeds-share", args.shares.several_seeds,
                 "of photos with seeds in view, share of those with several a cell")
      ->check(CLI::Range(0.0, 1.0));
  app.add_option("--coloured-share", args.shares.coloured,
                 "share of photos of plants whose leaves are red, purple, bronze, yellow or pale")
      ->check(CLI::Range(0.0, 1.0));
  app.add_option("--overgrown-share", args.shares.overgrown,
                 "share of photos with algae or moss over much of the medium")
      ->check(CLI::Range(0.0, 1.0));
  app.add_option(
         "--across-share", args.shares.across,
         "share of photos with canes, hoses, slats, or straight shadows and streaks of light across a tray")
      ->check(CLI::Range(0.0, 1.0));
  app.add_option("--least-cells", args.least_cells,
                 "only those whose first tray has so many cells (not with --days)")
      ->check(CLI::Range(0, 800));
  app.add_flag("--days", args.days,
               "each scene on four days as it comes up: NAME-0 to NAME-3 (none where nothing would)");
  app.add_option("--jobs", args.jobs, "photos painted at once")->check(CLI::Range(1, 256));
  CLI11_PARSE(app, argc, argv);
  paint_all(args);
  return 0;
} catch (const std::exception& fault) {
  for (const char* part : {"paint_trays: ", fault.what(), "\n"}) std::fputs(part, stderr);
  return 1;
}
