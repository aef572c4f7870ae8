// What may stand at a place, by the grammar itself.

#include <doctest/doctest.h>

#include <algorithm>

#include "language/editing/expected.hpp"

using namespace budwood;
using language::Expected;
using language::NameKind;

namespace {

/// What may stand at the mark `|` of a text.
Expected at_mark(std::string text) {
  const std::size_t mark = text.find('|');
  text.erase(mark, 1);
  const text::Source source("test.bud", text);
  Expected out = language::expected_at(source, static_cast<std::uint32_t>(mark));
  out.word.source = nullptr;
  return out;
}

bool begins(const Expected& expected, std::string_view words) {
  return std::any_of(expected.statements.begin(), expected.statements.end(),
                     [&](const auto& one) { return one.words == words; });
}
bool word(const Expected& expected, const std::string& one) {
  return std::find(expected.words.begin(), expected.words.end(), one) != expected.words.end();
}
bool name(const Expected& expected, NameKind kind) {
  return std::find(expected.names.begin(), expected.names.end(), kind) != expected.names.end();
}

std::string in_stage(const std::string& text) {
  return "protocol x \"X\" {\n  part p\n  stage s of p {\n    lasts 3 days\n    " + text;
}

}  // namespace

TEST_CASE("statements of the block") {
  const Expected file = at_mark("|");
  CHECK(begins(file, "protocol"));
  CHECK(begins(file, "rules"));
  const Expected protocol = at_mark("protocol x \"X\" {\n  |");
  CHECK(begins(protocol, "stage"));
  CHECK(begins(protocol, "supply"));
  CHECK_FALSE(begins(protocol, "lasts"));
  const Expected stage = at_mark(in_stage("|"));
  CHECK(begins(stage, "room"));
  CHECK(begins(stage, "may wait"));
  CHECK_FALSE(begins(stage, "rate"));
  CHECK(stage.block == "a stage");
  const Expected work = at_mark(in_stage("do \"A\" on day 1 { time 20 min  |"));
  CHECK(begins(work, "caution"));
  CHECK(begins(work, "tagged"));
  CHECK_FALSE(begins(work, "room"));
  const Expected begun = at_mark(in_stage("ro|"));
  CHECK(begins(begun, "room"));
  CHECK(begun.word.end - begun.word.begin == 2);
}

TEST_CASE("what goes on with a statement") {
  const Expected lasts = at_mark(in_stage("lasts 3 days |"));
  CHECK(word(lasts, "to"));
  CHECK(word(lasts, "usually"));
  CHECK_FALSE(begins(lasts, "room"));
  const Expected keep = at_mark(in_stage("keep humidity 90 % |"));
  CHECK(word(keep, "until"));
  CHECK(word(keep, "by"));
  CHECK(keep.statement == "keep");
  CHECK(keep.subject == "humidity");
  CHECK(word(at_mark(in_stage("may |")), "wait"));
}

TEST_CASE("words that only their place makes words") {
  const Expected head = at_mark(in_stage("do \"A\" on day 1 |"));
  for (const char* one : {"first", "overnight", "in", "after"}) CHECK(word(head, one));
  CHECK(word(at_mark(in_stage("do \"A\" on day 1 in |")), "the morning"));
  const Expected seen = at_mark("protocol x \"X\" {\n  input a = 80 % seen 8 of 10 |");
  for (const char* one : {"in", "spread", "source"}) CHECK(word(seen, one));
  CHECK(word(at_mark("protocol x \"X\" {\n  input a = 80 % seen 8 of 10 in 2 |"), "batches"));
  CHECK(word(at_mark("protocol x \"X\" {\n  recipe dip |"), "makes"));
  const Expected recipe = at_mark("protocol x \"X\" {\n  recipe dip makes 1 L |");
  for (const char* one : {"keeps", "in", "made", "at", "pH"}) CHECK(word(recipe, one));
  CHECK(word(at_mark("protocol x \"X\" {\n  recipe dip makes 1 L in |"), "vessels"));
}

TEST_CASE("names of the right kind") {
  CHECK(name(at_mark(in_stage("room |")), NameKind::room));
  CHECK(name(at_mark(in_stage("keep |")), NameKind::setting));
  CHECK(name(at_mark(in_stage("after |")), NameKind::stage));
  CHECK(name(at_mark(in_stage("loses |")), NameKind::value));
  CHECK(name(at_mark(in_stage("lasts 3 |")), NameKind::unit));
  CHECK(name(at_mark("protocol x \"X\" {\n  supply a in L hazard |"), NameKind::hazard));
  CHECK(name(at_mark("protocol x \"X\" {\n  part p\n  stage s of |"), NameKind::part));
  CHECK(name(at_mark(in_stage("do \"A\" at start {\n use 2 |")), NameKind::supply));
  CHECK(name(at_mark(in_stage("do \"A\" at start {\n crew |")), NameKind::crew));
  CHECK(name(at_mark("protocol x based on |"), NameKind::protocol));
  // A name that is declared is the grower's own.
  CHECK(at_mark("protocol x \"X\" {\n  input |").names.empty());
  const Expected member = at_mark(in_stage("}\n  require s.|"));
  CHECK(name(member, NameKind::property));
  CHECK(member.property_of == "s");
}

TEST_CASE("text that does not parse") {
  CHECK(begins(at_mark(in_stage("kep humidity 90 %\n    |")), "keep"));
  CHECK(name(at_mark(in_stage("kep humidity 90 %\n    room |")), NameKind::room));
  // A stage that is not closed.
  const std::string open = in_stage("\n  stage u of p {\n    lasts 2 days\n    |");
  CHECK(begins(at_mark(open), "room"));
  CHECK(begins(at_mark("} } nonsense { {\n protocol x \"X\" {\n  |"), "stage"));
  CHECK(at_mark("protocol x \"an open text |").inside_text);
  CHECK(at_mark("protocol x \"X\" { # a com|ment\n}").inside_text);
}
