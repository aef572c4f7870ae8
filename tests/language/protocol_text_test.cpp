#include "language/rewrite/protocol_text.hpp"

#include <doctest/doctest.h>

#include "language/language.hpp"

/// Numbers changed in place, all else as it was written.
namespace {

using namespace budwood;
using language::ProtocolText;

const std::string written = R"(# House method. Do not lose this line.
protocol graft "Bark graft" {
  edition 3   # by Ana
  input take = 70 %   from 30 % to 100 %  "grafts that unite"   # last looked at in March
  input speed = 30 per hour
  supply clip "Clip" in clips
  part graft

  stage grafting of graft "Grafting" {
    lasts 1 day
    room shed   # the cool one
    do "Graft; mind the } in words" on day 1 {
      rate speed  crew grafters
      use 1 clip each
      caution "Knife."
    }
  }
  stage healing of graft { lasts 14 to 21 days usually 16 days  loses 1 - take }

  variant splice "Plain splice" {
    set take = 75 % seen 75 of 100
    set speed = 45 per hour
    change stage grafting {
      room bench
      change work "Graft; mind the } in words" { use 2 clip each  caution "Look twice." }
      keep air 18 degC
    }
  }
}
)";

struct Text {
  explicit Text(const std::string& content = written) : source("graft.bud", content) {
    auto found = ProtocolText::find(source, "graft");
    REQUIRE(found);
    text.emplace(std::move(*found));
  }
  std::string now() const { return text->result(); }

  text::Source source;
  std::optional<ProtocolText> text;
};

std::string changed(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

/// The same text without mistakes.
void check_reads(const std::string& text) {
  const text::Source source("graft.bud", text);
  text::Diagnostics diagnostics;
  language::read(source, diagnostics);
  for (const text::Diagnostic& d : diagnostics.sorted()) INFO(d.message);
  INFO(text);
  CHECK_FALSE(diagnostics.has_errors());
}

}  // namespace

TEST_CASE("nothing changed is the same text") {
  CHECK(Text().now() == written);
}

TEST_CASE("a number is changed where it stands, comments and ranges stay") {
  Text text;
  text.text->set_edition(4);
  CHECK(text.text->edition() == 3);
  CHECK(text.text->written_input("take") == "70 %");
  CHECK(text.text->set_input("take", "66 % seen 330 of 500 in 6 batches spread 4 %"));
  const std::string expected = changed(changed(written, "edition 3", "edition 4"), "= 70 %",
                                       "= 66 % seen 330 of 500 in 6 batches spread 4 %");
  CHECK(text.now() == expected);
  check_reads(text.now());
}

TEST_CASE("an old count goes with the old number, and a variant has numbers of its own") {
  Text text;
  CHECK(text.text->set_input("take", "78 %", "splice"));
  CHECK(text.now() == changed(written, "75 % seen 75 of 100", "78 %"));
  CHECK_FALSE(text.text->set_input("take", "78 %", "clip"));
}

TEST_CASE("an input that the text does not have is set") {
  Text text(changed(written, "    set take = 75 % seen 75 of 100\n", ""));
  CHECK(text.text->set_input("take", "78 %", "splice"));
  CHECK(text.now().find("    set take = 78 %\n  }\n}\n") != std::string::npos);
  check_reads(text.now());
}

TEST_CASE("lengths are changed number by number") {
  Text text;
  const auto length = text.text->written_length("healing");
  REQUIRE(length);
  CHECK(length->shortest == "14");
  CHECK(length->longest == "21 days");
  CHECK(length->usual == "16 days");
  CHECK(text.text->set_length("healing", {"", "24 days", "18 days"}));
  CHECK(text.now() ==
        changed(written, "14 to 21 days usually 16 days", "14 to 24 days usually 18 days"));
  CHECK(text.text->written_length("grafting")->longest.empty());
  CHECK_FALSE(text.text->written_length("cooling"));
  check_reads(text.now());
}

TEST_CASE("notes go to the end of their block, however it is laid out") {
  Text text;
  CHECK(text.text->add_note("grafting", "Say \"so\"."));
  CHECK(text.text->add_note("healing", "Warmer."));
  CHECK(text.text->add_note("", "All in all."));
  CHECK_FALSE(text.text->add_note("cooling", "No."));
  const std::string now = text.now();
  CHECK(now.find("    }\n    note \"Say \\\"so\\\".\"\n  }\n") != std::string::npos);
  CHECK(now.find("loses 1 - take note \"Warmer.\" }") != std::string::npos);
  CHECK(now.find("  }\n  note \"All in all.\"\n}\n") != std::string::npos);
  check_reads(now);
}

TEST_CASE("a variant becomes the method: what it says takes the place of what was") {
  Text text;
  CHECK(text.text->make_method("splice") == "");
  const std::string now = text.now();
  INFO(now);
  CHECK(now.find("variant") == std::string::npos);
  CHECK(now.find("# House method. Do not lose this line.\n") == 0);
  CHECK(now.find("input take = 75 % seen 75 of 100   from 30 % to 100 %") != std::string::npos);
  CHECK(now.find("input speed = 45 per hour\n") != std::string::npos);
  CHECK(now.find("    room bench   # the cool one\n") != std::string::npos);
  CHECK(now.find(
            "      use 2 clip each\n      caution \"Knife.\"\n      caution \"Look twice.\"\n") !=
        std::string::npos);
  CHECK(now.find("    keep air 18 degC\n  }\n") != std::string::npos);
  check_reads(now);
}

TEST_CASE(
    "a variant of a protocol that is based on another: its stages are changed as it had them") {
  Text text(R"(# North site.
protocol graft based on other edition 2 "Bark graft" {
  edition 1
  change stage healing { lasts 20 days }

  variant splice "Plain splice" {
    set take = 75 %
    change stage healing {
      keep air 18 degC
      change work "Look" {
        caution "Mind the }."
      }
    }
  }
}
)");
  CHECK(text.text->make_method("splice") == "");
  CHECK(text.now() == R"(# North site.
protocol graft based on other edition 2 "Bark graft" {
  edition 1
  change stage healing { lasts 20 days }

  set take = 75 %
  change stage healing {
    keep air 18 degC
    change work "Look" {
      caution "Mind the }."
    }
  }
}
)");
}

TEST_CASE("what the text cannot show is refused") {
  Text dropping(changed(written, "      room bench\n", "      drop room\n"));
  CHECK(dropping.text->make_method("splice").find("drops") != std::string::npos);
  CHECK_FALSE(Text().text->make_method("clip").empty());
  Text ranged(
      changed(written, "set speed = 45 per hour", "set speed = 45 per hour from 1 to 90 per hour"));
  CHECK(ranged.text->make_method("splice").find("range") != std::string::npos);
}

TEST_CASE("of a file with several protocols only the one is taken, with the comment above it") {
  Text text("protocol other \"O\" { part p  stage s of p { lasts 1 day } }\n\n" + written);
  CHECK(text.now() == written);
  const text::Source broken("graft.bud", "protocol graft {");
  CHECK_FALSE(ProtocolText::find(broken, "graft"));
  const text::Source none("graft.bud", written);
  CHECK_FALSE(ProtocolText::find(none, "bench"));
}
