#include "paper/html.hpp"

#include <algorithm>
#include <string>

#include "drawing/drawing.hpp"

namespace budwood::paper {

namespace {

/// Text of any number of lines, however they end, as it may stand between tags and in attributes.
std::string escaped_lines(std::string_view text) {
  std::string out;
  for (std::size_t begin = 0; begin <= text.size();) {
    const std::size_t end = std::min(text.find_first_of("\r\n", begin), text.size());
    out += drawing::xml_text(text.substr(begin, end - begin));
    if (end == text.size()) break;
    out += '\n';
    begin = end + (text.substr(end, 2) == "\r\n" ? 2 : 1);
  }
  return out;
}

}  // namespace

void Html::start(Word name, Attributes attributes) {
  out_ << '<' << name.text();
  for (const Attribute& one : attributes) {
    if (!one.value.empty()) {
      out_ << ' ' << one.name.text() << "=\"" << drawing::xml_text(one.value) << '"';
    }
  }
  out_ << '>';
}

void Html::close(Word name) {
  // Within running text a line break would be a space.
  const bool inside = name.text() == "span" || name.text() == "b";
  out_ << "</" << name.text() << (inside ? ">" : ">\n");
}

Html::Element Html::open(Word name, Attributes attributes) {
  start(name, attributes);
  return Element(*this, name);
}

void Html::mark(Word name, Attributes attributes) {
  start(name, attributes);
}

void Html::text(std::string_view text) {
  out_ << escaped_lines(text);
}

void Html::said(std::string_view text) {
  if (!text.empty()) out_ << "<bdi>" << escaped_lines(text) << "</bdi>";
}

void Html::said(Word name, std::string_view kind, std::string_view words) {
  const auto element = block(name, kind);
  said(words);
}

void Html::text(Word name, std::string_view kind, std::string_view words) {
  const auto element = block(name, kind);
  text(words);
}

}  // namespace budwood::paper
