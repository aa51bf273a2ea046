// SPDX-License-Identifier: Apache-2.0
// decode_only PHOTO: what counting is measured against. Decodes the photo with OpenCV, and does nothing else.
// Prints the milliseconds that the decoding itself took, of processor time and on the clock.
#include <chrono>
#include <cstdio>
#include <ctime>
#include <opencv2/imgcodecs.hpp>

int main(int, char** arguments) {
  const auto start = std::chrono::steady_clock::now();
  const std::clock_t processor = std::clock();
  const cv::Mat photo = cv::imread(arguments[1], cv::IMREAD_COLOR);
  const std::chrono::duration<double, std::milli> wall = std::chrono::steady_clock::now() - start;
  std::printf("%.1f %.1f\n", 1000.0 * static_cast<double>(std::clock() - processor) / CLOCKS_PER_SEC,
              wall.count());
  return photo.empty() ? 1 : 0;
}
