#include "drawing/svg.hpp"

#include <doctest/doctest.h>

#include <sstream>

namespace budwood::drawing {

namespace {

const TextStyle plain;
const TextStyle bold{11, true, TextStyle::Anchor::start};

}  // namespace

TEST_CASE("the width of text follows its letters, its size and its weight") {
  // Advances of DejaVu Sans: i 0.277 em, M 0.862 em, space 0.317 em.
  CHECK(text_width("i", plain) == doctest::Approx(11 * 0.277));
  CHECK(text_width("M i", plain) == doctest::Approx(11 * (0.862 + 0.317 + 0.277)));
  CHECK(text_width("M i", {22, false, {}}) == doctest::Approx(22 * (0.862 + 0.317 + 0.277)));
  CHECK(text_width("M", bold) > text_width("M", plain));
  CHECK(text_width("接", plain) == doctest::Approx(11));
  CHECK(text_width("e\u0301", plain) == text_width("e", plain));
  CHECK(text_width("", plain) == 0);
}

TEST_CASE("text wraps at spaces into the width") {
  const auto lines = wrap_text("fill the trays and label every one of them", 80, 9, plain);
  REQUIRE(lines.size() > 2);
  std::string again;
  for (const std::string& line : lines) {
    CHECK(text_width(line, plain) <= 80);
    again += (again.empty() ? "" : " ") + line;
  }
  CHECK(again == "fill the trays and label every one of them");
  CHECK(wrap_text("short", 80, 9, plain) == std::vector<std::string>{"short"});
}

TEST_CASE("a word that is wider than the width is broken, nothing of it lost") {
  const auto lines = wrap_text("MMMMMMMMMMMMMMMMMMMM", 50, 9, bold);
  std::string again;
  for (const std::string& line : lines) {
    CHECK(text_width(line, bold) <= 50);
    again += line;
  }
  CHECK(again == "MMMMMMMMMMMMMMMMMMMM");
}

TEST_CASE("text with too many lines ends in an ellipsis inside the width") {
  const auto lines = wrap_text("one two three four five six seven eight", 60, 2, plain);
  REQUIRE(lines.size() == 2);
  CHECK(lines[1].ends_with("\u2026"));
  CHECK(text_width(lines[1], plain) <= 60);
}

TEST_CASE("text for XML") {
  CHECK(xml_text("a < b & \"c\" > d") == "a &lt; b &amp; &quot;c&quot; &gt; d");
  CHECK(xml_text("grün 接") == "grün 接");
  CHECK(xml_text("a\x01\x1b"
                 "b\n") == "a??b?");
  CHECK(xml_text("\xEF\xBF\xBE\xEF\xBF\xBF\xEF\xBF\xBD") == "??\xEF\xBF\xBD");
  CHECK(xml_text("\xFF") == "?");
}

TEST_CASE("a picture") {
  std::ostringstream out;
  {
    Svg svg(out, 99.2, 50, "A & B", "");
    Pen pen;
    pen.dash = Pen::Dash::dashes;
    pen.arrow = true;
    svg.begin_group("<g>");
    svg.lines({{0, 1.25}, {-0.01, 3}}, pen);
    svg.end_group();
  }
  const std::string text = out.str();
  CHECK(text.find("width=\"100\" height=\"50\" viewBox=\"0 0 100 50\"") != std::string::npos);
  CHECK(text.find("<title>A &amp; B</title>") != std::string::npos);
  CHECK(text.find("<title>&lt;g&gt;</title>") != std::string::npos);
  CHECK(text.find("<polyline points=\"0,1.3 0,3\" fill=\"none\" stroke=\"#000\" stroke-width=\"1\" "
                  "stroke-dasharray=\"6 4\" marker-end=\"url(#arrow)\"/>") != std::string::npos);
  CHECK(text.ends_with("</svg>\n"));
}

}  // namespace budwood::drawing
