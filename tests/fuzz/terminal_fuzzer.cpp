#include "fuzzing.hpp"

/// Any bytes as text that is shown: nothing of it steers the screen, and it is measured and cut at
/// whole characters.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  const std::string input = fuzz::bytes_of(data, size);
  const std::string shown = text::printable(input);
  fuzz::accepted = shown == input;
  fuzz::must(text::find_invalid_utf8(shown) == std::string::npos, "shown text that is no UTF-8");
  fuzz::must(text::printable(shown) == shown, "shown text that is shown otherwise");
  for (const char c : shown) {
    const auto byte = static_cast<unsigned char>(c);
    fuzz::must(byte >= 0x20 && byte != 0x7F, "a control character");
  }
  const std::size_t width = text::display_width(shown);
  std::string_view rest = shown;
  constexpr std::size_t line = 7;
  std::size_t pieces = 0;
  for (; !rest.empty(); ++pieces) {
    const std::size_t bytes = text::fitting_bytes(rest, line);
    fuzz::must(bytes > 0 && bytes <= rest.size(), "a piece of nothing");
    const std::string_view piece = rest.substr(0, bytes);
    fuzz::must(text::find_invalid_utf8(piece) == std::string::npos, "cut inside a character");
    rest.remove_prefix(bytes);
  }
  fuzz::must(width <= pieces * line, "pieces wider than they may be");
  return 0;
}
