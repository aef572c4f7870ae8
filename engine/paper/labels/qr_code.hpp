#pragma once

#include <string>

namespace budwood::paper {

/// A QR code (ISO/IEC 18004) of plain text that still reads with some of it dirty.
struct QrCode {
  int modules = 0;   ///< along a side, without the quiet zone around it
  std::string path;  ///< of its dark modules, as SVG, a module being 1 by 1
};

inline constexpr int quiet_zone = 4;  ///< modules that stay white on each side

QrCode qr_code(const std::string& text);

}  // namespace budwood::paper
