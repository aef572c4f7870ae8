#include "paper/picture.hpp"

#include <boost/archive/iterators/base64_from_binary.hpp>
#include <boost/archive/iterators/transform_width.hpp>

namespace budwood::paper {

namespace {

std::string base64(const std::string& bytes) {
  using boost::archive::iterators::base64_from_binary;
  using boost::archive::iterators::transform_width;
  using Digits = base64_from_binary<transform_width<std::string::const_iterator, 6, 8>>;
  std::string out(Digits(bytes.begin()), Digits(bytes.end()));
  constexpr std::size_t digits_a_group = 4;
  while (out.size() % digits_a_group != 0) out += '=';
  return out;
}

}  // namespace

void write_picture(Html& html, const std::string& svg, std::string_view words) {
  html.mark("img", {{"alt", words}, {"src", "data:image/svg+xml;base64," + base64(svg)}});
}

}  // namespace budwood::paper
