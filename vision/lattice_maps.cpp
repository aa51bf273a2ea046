// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice_maps.h"

#include <opencv2/dnn.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/models.h"

namespace braird::vision {
namespace {

constexpr int kLongSide = 640;  // as in training
constexpr int kMultiple = 32;   // the network halves its input five times

int padded(int side) { return (side + kMultiple - 1) / kMultiple * kMultiple; }

cv::Mat sigmoid(const cv::Mat& logits) {
  cv::Mat result;
  cv::exp(-logits, result);
  return 1 / (1 + result);
}

cv::Mat plane(const cv::Mat& output, int channel, cv::Size size) {
  const cv::Mat whole(output.size[2], output.size[3], CV_32F, const_cast<float*>(output.ptr<float>(0, channel)));
  return sigmoid(whole(cv::Rect({0, 0}, size)));
}

cv::Mat network_input(const cv::Mat& bgr, double scale) {
  cv::Mat small, floating;
  cv::resize(bgr, small, {}, scale, scale, cv::INTER_AREA);
  small.convertTo(floating, CV_32FC3, 1 / 255.0 / 0.25, -0.45 / 0.25);
  cv::copyMakeBorder(floating, floating, 0, padded(small.rows) - small.rows, 0, padded(small.cols) - small.cols,
                     cv::BORDER_CONSTANT, cv::Scalar::all(0));
  return floating;
}

}  // namespace

LatticeMaps read_lattice_maps(const cv::Mat& bgr, const Trace& trace) {
  const double scale = static_cast<double>(kLongSide) / std::max(bgr.rows, bgr.cols);
  const cv::Mat input = network_input(bgr, scale);
  cv::dnn::Net net = load_model(Model::lattice);
  net.setInput(cv::dnn::blobFromImage(input));
  const cv::Mat output = net.forward();
  const cv::Size size(std::min(output.size[3], cvRound(bgr.cols * scale) / 2),
                      std::min(output.size[2], cvRound(bgr.rows * scale) / 2));
  LatticeMaps maps{plane(output, 0, size), plane(output, 2, size), plane(output, 3, size), scale / 2};
  if (trace) {
    trace("region", maps.region * 255);
    trace("centres", maps.centres * 255);
  }
  return maps;
}

}  // namespace braird::vision
