#include <doctest/doctest.h>

#include "text/text.hpp"

using namespace budwood::text;

TEST_CASE("plain text and accents reach the terminal as they are") {
  CHECK(printable("Veredelung 20 °C, µm, naïve, 接ぎ木") == "Veredelung 20 °C, µm, naïve, 接ぎ木");
}

TEST_CASE("plain bytes are those that are shown as they are without a look at the next one") {
  CHECK(plain_bytes("") == 0);
  CHECK(plain_bytes(" !~") == 3);
  for (const char* other : {"\t", "\x1f", "\x7f", "\u00A0", "\u200D", "\xFF"}) {
    CHECK(plain_bytes(std::string("graft") + other + "graft") == 5);
  }
  for (int byte = 0; byte < 256; ++byte) {
    const std::string one(1, static_cast<char>(byte));
    CHECK((plain_bytes(one) == 1) == (printable(one) == one));
  }
}

TEST_CASE("nothing in a text can steer the terminal") {
  CHECK(printable("\x1b[31mred\x1b[0m") == "?[31mred?[0m");
  CHECK(printable("a\nb\rc\x07"
                  "d\x7f") == "a?b?c?d?");
  CHECK(printable(std::string_view("nul\0end", 7)) == "nul?end");
  CHECK(printable("a\tb") == "a b");
  CHECK(printable("8-bit \xC2\x9B"
                  "31m") == "8-bit ?31m");
  CHECK(printable("line\xE2\x80\xA8separator") == "line?separator");
}

TEST_CASE("marks that turn the writing direction are shown as a question mark") {
  CHECK(printable("\u202Eevil\u202C") == "?evil?");
  CHECK(printable("\u2066a\u2069\u200F\u061C") == "?a???");
}

TEST_CASE("bytes that are no UTF-8 are shown one by one") {
  CHECK(printable("a\xFFz") == "a?z");
  CHECK(printable("cut \xE2\x82") == "cut ??");
  CHECK(printable("\xC0\xAF") == "??");            // an overlong slash
  CHECK(printable("\xED\xA0\x80") == "???");       // half of a surrogate pair
  CHECK(printable("\xF5\x80\x80\x80") == "????");  // past the last code point
}

TEST_CASE("what nobody sees is shown, so that no name looks like another") {
  // Zero-width spaces and joiners between letters, soft hyphen, word joiner, byte-order mark, the
  // tags of plane 14, fillers, Mongolian and supplementary variation selectors.
  for (const char* hidden :
       {"\u200B", "\u200C",     "\u200D",     "\u00AD",     "\u2060",    "\u2063",
        "\uFEFF", "\U000E0041", "\U000E0001", "\U000E007F", "\u115F",    "\u1160",
        "\u3164", "\uFFA0",     "\u034F",     "\u180E",     "\u180B",    "\U000E0100",
        "\uFE0F", "\u17B4",     "\u206A",     "\uFFF9",     "\U0001D173"}) {
    CHECK(printable(std::string("gr") + hidden + "aft") == "gr?aft");
  }
  // A message in variation selectors behind one emoji.
  CHECK(printable("🌱\uFE01\uFE02\uFE03") == "🌱\uFE01??");
}

TEST_CASE("a joiner behind what is not shown is not shown either") {
  for (const char* hidden : {"\u200B\u200C\u200D", "\u2060\u200C", "\U000E0041\uFE0F"}) {
    const std::string shown = printable(hidden);
    CHECK(shown.find_first_not_of('?') == std::string::npos);
    CHECK(printable(shown) == shown);
  }
}

TEST_CASE("scripts that join their letters and emoji keep their joiners") {
  CHECK(printable("می\u200Cخواهم") == "می\u200Cخواهم");
  CHECK(printable("क्\u200Dष") == "क्\u200Dष");
  CHECK(printable("👩\u200D🌾") == "👩\u200D🌾");
  CHECK(printable("☀\uFE0F 1\uFE0F\u20E3") == "☀\uFE0F 1\uFE0F\u20E3");
  CHECK(printable("👩\u200D\u200D🌾") == "👩\u200D?🌾");
}

TEST_CASE("code points that are no characters do not get into a file") {
  CHECK(printable("a\uFFFEb\uFFFFc\U0001FFFEd\uFDD0e") == "a?b?c?d?e");
  CHECK(printable("\uFFFD") == "\uFFFD");  // the one that stands for what could not be read
}

TEST_CASE("width on a terminal") {
  CHECK(display_width("") == 0);
  CHECK(display_width("graft") == 5);
  CHECK(display_width("µmol °C") == 7);
  CHECK(display_width("e\u0301") == 1);     // e and a combining acute accent
  CHECK(display_width("接ぎ木") == 6);      // East Asian Wide (Unicode Standard Annex 11)
  CHECK(display_width("\U0001F331") == 2);  // seedling
  CHECK(display_width("a\u200Bb") == 2);    // zero width space
  CHECK(display_width("שתיל") == 4);
}

TEST_CASE("the front part that fits") {
  CHECK(fitting_bytes("graft", 3) == 3);
  CHECK(fitting_bytes("graft", 9) == 5);
  CHECK(fitting_bytes("", 4) == 0);
  CHECK(fitting_bytes("接木", 3) == 3);      // the second one would need column 4
  CHECK(fitting_bytes("接木", 1) == 3);      // one character even where none fits
  CHECK(fitting_bytes("e\u0301x", 1) == 3);  // the accent stays with its letter
}
