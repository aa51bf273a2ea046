// SPDX-License-Identifier: Apache-2.0
#include "vision/label_code.h"

#include <ZXing/BitMatrix.h>
#include <ZXing/MultiFormatWriter.h>

#include <stdexcept>

namespace braird::vision {

cv::Mat label_code(const std::string& text) {
  constexpr int level_m = 2;  // of the library's 0..8
  try {
    const ZXing::BitMatrix code = ZXing::MultiFormatWriter(ZXing::BarcodeFormat::QRCode)
                                      .setEncoding(ZXing::CharacterSet::UTF8)
                                      .setEccLevel(level_m)
                                      .setMargin(0)
                                      .encode(text, 0, 0);
    cv::Mat modules(code.height(), code.width(), CV_8U);
    for (int y = 0; y < modules.rows; ++y)
      for (int x = 0; x < modules.cols; ++x) modules.at<unsigned char>(y, x) = code.get(x, y) ? 0 : 255;
    return modules;
  } catch (const std::exception& why) {
    throw std::invalid_argument(std::string("this label cannot be made into a code: ") + why.what());
  }
}

}  // namespace braird::vision
