#include <doctest/doctest.h>

#include <sstream>

#include "paper/html.hpp"

using budwood::paper::Html;

namespace {

template <typename Writer>
std::string written(const Writer& writer) {
  std::ostringstream out;
  Html html(out);
  writer(html);
  return out.str();
}

std::string said(const std::string& text) {
  return written([&](Html& html) { html.said(text); });
}

}  // namespace

TEST_CASE("markup and quotes show as text") {
  CHECK(said("<b onclick=\"x\">&amp;</b>") ==
        "<bdi>&lt;b onclick=&quot;x&quot;&gt;&amp;amp;&lt;/b&gt;</bdi>");
  CHECK(written([](Html& html) {
          const auto link = html.open("p", {{"class", "a\" onload=\"b"}});
        }) == "<p class=\"a&quot; onload=&quot;b\"></p>\n");
}

TEST_CASE("line breaks stay, however they are written") {
  CHECK(said("one\ntwo\r\nthree\rfour") == "<bdi>one\ntwo\nthree\nfour</bdi>");
}

TEST_CASE("marks that turn the writing direction do not reach the page") {
  CHECK(said("a\u202Eb\u200Fc\u2066d") == "<bdi>a?b?c?d</bdi>");
  CHECK(said("\u05E9\u05DC\u05D5\u05DD") == "<bdi>\u05E9\u05DC\u05D5\u05DD</bdi>");
}

TEST_CASE("control characters and broken letters become question marks, emoji stay") {
  CHECK(said(std::string("a\0b\x1B", 4)) == "<bdi>a?b?</bdi>");
  CHECK(said("\xC3(") == "<bdi>?(</bdi>");
  CHECK(said("\U0001F331") == "<bdi>\U0001F331</bdi>");
}

TEST_CASE("elements end in the order in which they must") {
  CHECK(written([](Html& html) {
          const auto outer = html.block("div", "a");
          html.text("span", {}, "x");
          html.mark("img", {{"alt", "y"}});
        }) == "<div class=\"a\"><span>x</span><img alt=\"y\"></div>\n");
}

TEST_CASE("nothing said is nothing written") {
  CHECK(said("").empty());
}
