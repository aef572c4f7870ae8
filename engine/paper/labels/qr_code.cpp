#include "paper/labels/qr_code.hpp"

#include <qrcodegen.hpp>

namespace budwood::paper {

QrCode qr_code(const std::string& text) {
  const auto code = qrcodegen::QrCode::encodeText(text.c_str(), qrcodegen::QrCode::Ecc::MEDIUM);
  QrCode out;
  out.modules = code.getSize();
  for (int y = 0; y < out.modules; ++y) {
    for (int x = 0; x < out.modules;) {
      int end = x;
      while (end < out.modules && code.getModule(end, y)) ++end;
      if (end > x) {
        out.path += "M" + std::to_string(x) + " " + std::to_string(y) + "h" +
                    std::to_string(end - x) + "v1H" + std::to_string(x) + "z";
      }
      x = end + 1;
    }
  }
  return out;
}

}  // namespace budwood::paper
