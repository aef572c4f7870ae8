#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <random>
#include <set>
#include <sstream>

#include "language/language.hpp"
#include "language/parse/parse.hpp"
#include "language/tree/canonical.hpp"

/// The fingerprint: what must leave no trace in it, and what must.
namespace {

using namespace budwood;
namespace fs = std::filesystem;

struct Forms {
  bool read = false;  ///< without a mistake in its grammar
  std::string text;   ///< of all protocols, rule sets and shared tables
};

Forms forms_of(const std::string& written) {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const language::syntax::File file =
      language::parse(sources.add("test.bud", written), diagnostics);
  Forms out;
  out.read = !diagnostics.has_errors();
  for (const auto& one : file.protocols) out.text += language::canonical_text(one);
  for (const auto& one : file.rule_sets) out.text += language::canonical_text(one);
  for (const auto& one : file.tables) out.text += language::fingerprint(one);
  return out;
}

std::string form_of(const std::string& written) {
  const Forms forms = forms_of(written);
  REQUIRE(forms.read);
  return forms.text;
}

/// The form of a protocol with these statements in it.
std::string inside(const std::string& statements) {
  return form_of("protocol p {\n" + statements + "\n}\n");
}
std::string in_stage(const std::string& statements) {
  return inside("stage s of a {\n" + statements + "\n}");
}
std::string in_work(const std::string& statements) {
  return in_stage("do \"work\" {\n" + statements + "\n}");
}

std::vector<std::pair<std::string, std::string>> shipped_files() {
  std::vector<fs::path> paths;
  for (const auto& entry : fs::recursive_directory_iterator(BUDWOOD_PROTOCOLS)) {
    if (entry.path().extension() == ".bud") paths.push_back(entry.path());
  }
  std::sort(paths.begin(), paths.end());
  std::vector<std::pair<std::string, std::string>> out;
  for (const fs::path& path : paths) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream content;
    content << file.rdbuf();
    // What is based on another protocol has a form only together with that one: adapt_test.cpp.
    if (content.str().find(" based on ") != std::string::npos) continue;
    out.emplace_back(path.filename().string(), content.str());
  }
  return out;
}

/// A stretch of protocol text: a word, a number, a text in quotes, a mark, or what stands between.
struct Token {
  enum class Kind { word, number, text, mark, space, comment };
  Kind kind = Kind::mark;
  std::string text;
};

std::vector<Token> tokens_of(const std::string& written) {
  std::vector<Token> out;
  const auto is_word = [](char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' || (c & 0x80) != 0;
  };
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  std::size_t at = 0;
  while (at < written.size()) {
    std::size_t end = at + 1;
    Token token;
    const char c = written[at];
    if (c == '"') {
      token.kind = Token::Kind::text;
      while (written[end] != '"') end += written[end] == '\\' ? 2 : 1;
      ++end;
    } else if (c == '#') {
      token.kind = Token::Kind::comment;
      while (end < written.size() && written[end] != '\n') ++end;
    } else if (is_digit(c)) {
      token.kind = Token::Kind::number;
      while (end < written.size() && is_digit(written[end])) ++end;
      if (end + 1 < written.size() && written[end] == '.' && is_digit(written[end + 1])) {
        ++end;
        while (end < written.size() && is_digit(written[end])) ++end;
      }
    } else if (is_word(c)) {
      token.kind = Token::Kind::word;
      while (end < written.size() && is_word(written[end])) ++end;
    } else if (c == ' ' || c == '\n' || c == '\t') {
      token.kind = Token::Kind::space;
      while (end < written.size() && (written[end] == ' ' || written[end] == '\n')) ++end;
    }
    token.text = written.substr(at, end - at);
    out.push_back(std::move(token));
    at = end;
  }
  return out;
}

std::string joined(const std::vector<Token>& tokens) {
  std::string out;
  for (const Token& token : tokens) out += token.text;
  return out;
}

/// Other tokens that could stand in the place of one.
std::vector<std::string> replacements(const Token& token) {
  static const std::map<std::string, std::vector<std::string>> others = {
      {"days", {"weeks", "h"}},
      {"day", {"night", "week"}},
      {"cm", {"mm"}},
      {"L", {"mL", "uL"}},
      {"mL", {"L"}},
      {"min", {"h", "s"}},
      {"s", {"min"}},
      {"h", {"min"}},
      {"hour", {"min"}},
      {"degC", {"degF", "K"}},
      {"%", {"ppm"}},
      {"require", {"advise"}},
      {"advise", {"require"}},
      {"air", {"root_zone"}},
      {"each", {"per 2"}},
      {"least", {"most"}},
      {"most", {"least"}},
      {"first", {"last"}},
      {"before", {"after"}},
      {"some", {"no"}},
      {"source", {"note"}},
      {"note", {"source"}},
      {"rate", {"setup"}},
      {"start", {"end"}},
      {"January", {"February"}},
      {"caution", {"note", "tool"}},
      {"reused", {""}},
  };
  switch (token.kind) {
    case Token::Kind::number: {
      std::string next = token.text;
      next.back() = next.back() == '9' ? '8' : static_cast<char>(next.back() + 1);
      return {next, "1" + token.text};
    }
    case Token::Kind::text:
      return {"\"" + token.text.substr(1, token.text.size() - 2) + "x\"",
              "\" " + token.text.substr(1)};
    case Token::Kind::word: {
      std::vector<std::string> out = {token.text + "x"};
      const auto found = others.find(token.text);
      if (found != others.end()) out.insert(out.end(), found->second.begin(), found->second.end());
      return out;
    }
    case Token::Kind::mark:
      if (token.text == "%") return {"ppm"};
      if (token.text == "<" || token.text == ">") return {token.text == "<" ? ">" : "<"};
      if (token.text == "+" || token.text == "-") return {token.text == "+" ? "-" : "+"};
      if (token.text == "*" || token.text == "/") return {token.text == "*" ? "/" : "*"};
      return {};
    default:
      return {};
  }
}

}  // namespace

TEST_CASE("a small protocol has exactly this form, for good") {
  const std::string form = form_of(
      "# A comment\n"
      "protocol division \"Division\" {\n"
      "  part crown   edition 2\n"
      "  supply mix in L pack 50 L hazard dust\n"
      "  stage potting of crown {\n"
      "    room bench   lasts 1 day to 2 weeks usually 3 days\n"
      "    keep air 18 °C until day 5\n"
      "    do \"Pot \\\"on\\\"\" on day 1 { rate 80 per hour  use 1.5 L mix each }\n"
      "  }\n"
      "}\n");
  CHECK(form ==
        "budwood protocol 1\n"
        "(protocol \"division\" \"Division\"\n"
        "(edition 2)\n"
        "(part \"crown\" -)\n"
        "(stage \"potting\" - \"crown\" [ ]\n"
        "(do \"Pot \\\"on\\\"\"\n"
        "(on [ 1 ] -)\n"
        "(rate (value 80 \"per hour\"))\n"
        "(use \"mix\" (value 1.5 \"L\") yes - - -))\n"
        "(keep \"air\" exactly (value 18 \"degC\") - - - all_day - 5 - -)\n"
        "(lasts (value 1 \"days\") (value 2 \"weeks\") (value 3 \"days\"))\n"
        "(room \"bench\"))\n"
        "(supply \"mix\" - \"L\" (value 50 \"L\") - no\n"
        "(hazard \"dust\")))\n");
  text::Sources sources;
  text::Diagnostics diagnostics;
  const auto document = language::read(
      sources.add("p.bud", "protocol p { part a stage s of a { lasts 1 day } }"), diagnostics);
  REQUIRE(document.protocols.size() == 1);
  // sha256sum of the form, which is
  // budwood protocol 1\n(protocol "p" -\n(part "a" -)\n(stage "s" - "a" [ ]\n(lasts (value 1
  // "days") - -)))\n
  CHECK(document.protocols.front().fingerprint ==
        "804bc23d43cf32297d8d350e7ceb2640cd19fa06f24b6affe1ad1de6895702be");
}

TEST_CASE("units have one spelling, numbers are as written") {
  const auto lasts = [](const std::string& length) { return in_stage("lasts " + length); };
  CHECK(lasts("14 days") == lasts("14   day"));
  CHECK(lasts("14.0 days") == lasts("14 days"));
  CHECK(lasts("14 days") != lasts("2 weeks"));
  CHECK(lasts("14 days") != lasts("14.000000000001 days"));
  CHECK(in_stage("keep air 20 degC") == in_stage("keep air 20 °C"));
  CHECK(in_stage("keep light 90 umol/m2/s") == in_stage("keep light 90 µmol/m²/s"));
  CHECK(in_work("rate 80 per hour") == in_work("rate 80 per h"));
  CHECK(in_work("rate 80 per hour") != in_work("rate 80 per min"));
  CHECK(in_work("use 1 plant mix") == in_work("use 1 plants mix"));
  CHECK(in_stage("season 3 Jan to 4 March") == in_stage("season 3 January to 4 Mar"));
}

TEST_CASE("independent statements may change places") {
  CHECK(inside("part a part b") == inside("part b part a"));
  CHECK(inside("let x = 1 input y = 2") == inside("input y = 2 let x = 1"));
  CHECK(inside("stage s of a { } stage t of b { }") == inside("stage t of b { } stage s of a { }"));
  CHECK(in_stage("keep air 20 degC keep humidity 80 %") ==
        in_stage("keep humidity 80 % keep air 20 degC"));
  CHECK(in_stage("room bench do \"x\"") == in_stage("do \"x\" room bench"));
  CHECK(in_work("use 1 L mix use 2 pots pot") == in_work("use 2 pots pot use 1 L mix"));
  CHECK(in_work("tagged a, b") == in_work("tagged b tagged a"));
}

TEST_CASE("statements that rest on their order keep it") {
  CHECK(inside("stage s of a { } stage t of a { }") != inside("stage t of a { } stage s of a { }"));
  CHECK(inside("repeat 2 times { stage s of a { } } stage t of a { }") !=
        inside("stage t of a { } repeat 2 times { stage s of a { } }"));
  CHECK(in_stage("keep air 20 degC keep air 25 degC") !=
        in_stage("keep air 25 degC keep air 20 degC"));
  CHECK(in_stage("do \"x\" do \"y\"") != in_stage("do \"y\" do \"x\""));
  CHECK(in_work("use 1 L mix use 2 L mix") != in_work("use 2 L mix use 1 L mix"));
  CHECK(in_work("use 1 tray per 72 use 2 L mix per tray") !=
        in_work("use 2 L mix per tray use 1 tray per 72"));
  CHECK(in_work("caution \"x\" caution \"y\"") != in_work("caution \"y\" caution \"x\""));
}

TEST_CASE("no text can be taken for a statement or for another text") {
  CHECK(in_work("note \"a\" note \"b\"") != in_work("note \"a\\\" note \\\"b\""));
  CHECK(in_work("note \"a\"") != in_work("note \"a)(note \\\"b\\\"\""));
  CHECK(in_work("note \"# a\"") != in_work("note \"\" # a"));
  CHECK(in_work("note \"a\\\\\"") != in_work("note \"a\\\"\""));
  CHECK(in_work("note \"a\"") != in_work("caution \"a\""));
  CHECK(inside("note \"-\"") != inside("crop \"-\""));
  CHECK(inside("part a \"-\"") != inside("part a"));
  CHECK(form_of("protocol p \"x\" { }") != form_of("rules p \"x\" { }"));
}

// Every token of every protocol would take minutes; a fixed choice of each file is tried.
TEST_CASE("every number, unit, name and text of the shipped protocols counts") {
  constexpr std::size_t tried_of_a_file = 40;
  std::mt19937 random(20271101);
  std::size_t changed = 0;
  std::size_t refused = 0;
  for (const auto& [name, written] : shipped_files()) {
    CAPTURE(name);
    const std::string form = form_of(written);
    std::vector<Token> tokens = tokens_of(written);
    REQUIRE(joined(tokens) == written);
    // What a variant says is no part of its protocol.
    const auto variant = std::find_if(tokens.begin(), tokens.end(),
                                      [](const Token& token) { return token.text == "variant"; });
    const auto own = static_cast<std::size_t>(variant - tokens.begin());
    for (std::size_t n = 0; n < tried_of_a_file; ++n) {
      const std::size_t i = random() % own;
      const Token token = tokens[i];
      for (const std::string& other : replacements(token)) {
        tokens[i].text = other;
        const std::string mutated = joined(tokens);
        tokens[i].text = token.text;
        const Forms forms = forms_of(mutated);
        // Keywords mostly make no statement any more.
        if (!forms.read) {
          ++refused;
          continue;
        }
        ++changed;
        if (forms.text == form) FAIL_CHECK("`" << token.text << "` to `" << other << "`");
      }
    }
  }
  CHECK(changed > 250);
  CHECK(refused > 15);
}

TEST_CASE("white space, comments and the order of what is independent leave no trace") {
  std::mt19937 random(20270314);
  const auto below = [&](std::size_t n) { return static_cast<std::size_t>(random()) % n; };
  for (const auto& [name, written] : shipped_files()) {
    CAPTURE(name);
    const std::string form = form_of(written);
    const std::vector<Token> tokens = tokens_of(written);
    for (int round = 0; round < 6; ++round) {
      std::string spaced;
      for (const Token& token : tokens) {
        if (token.kind == Token::Kind::comment) continue;
        spaced += token.text;
        if (token.kind != Token::Kind::space) continue;
        const bool ends_line = token.text.find('\n') != std::string::npos;
        if (ends_line && below(3) == 0) spaced += "# \" { } 14 days\n";
        if (below(3) == 0) spaced += std::string(1 + below(3), ' ');
        if (ends_line && below(4) == 0) spaced += "\n";
      }
      REQUIRE(form_of(spaced) == form);
    }
  }
}

namespace {

/// A statement with the things whose order among each other counts: those of one thread keep it.
struct Movable {
  std::string text;
  std::string thread;  ///< "" for none
};

/// Statements that mean nothing together, but are read.
std::vector<Movable> movable_declarations() {
  return {{"edition 3", ""},
          {"crop \"x\"", ""},
          {"source \"one\"", "source"},
          {"source \"two\"", "source"},
          {"note \"one\"", "note"},
          {"input take = 85 % from 40 % to 100 %", ""},
          {"let lead = s.start - t.start", ""},
          {"table d(a degC -> days) { 1: 2 3: 4 } source \"x\"", ""},
          {"supply mix in L", ""},
          {"supply pot in pots reused", ""},
          {"part a", ""},
          {"part b", ""},
          {"observe callus in %", ""},
          {"require s.left >= 10 else \"few\"", ""},
          {"advise s.left >= 20 else \"few\"", ""},
          {"waive r \"so\"", ""}};
}

std::vector<Movable> statements() {
  return {{"lasts 10 days", ""},
          {"room bench", ""},
          {"loses 5 %", ""},
          {"may wait 2 days", ""},
          {"keep air 20 degC until day 3", "air"},
          {"taper air 20 degC to 10 degC from day 4 to day 9", "air"},
          {"keep humidity 80 %", "humidity"},
          {"keep light 90 umol/m2/s for 12 h", "light"},
          {"mist 5 s every 10 min until day 2", "mist"},
          {"taper mist every 10 min to 1 h from day 3 to day 5", "mist"},
          {"note \"one\"", "note"},
          {"note \"two\"", "note"},
          {"do \"first\" on day 1 { use 1 L mix }", "do"},
          {"do \"second\" on day 1 { use 1 L mix }", "do"},
          {"if callus < 50 % on day 3 { warn \"slow\" }", "if"},
          {"advise plants > 5 else \"few\"", ""}};
}

std::string text_of(const std::vector<Movable>& all) {
  std::string out;
  for (const Movable& one : all) out += one.text + "\n";
  return out;
}

/// A random order in which those of a thread stay as they were.
std::vector<Movable> moved(std::vector<Movable> all, std::mt19937& random) {
  for (std::size_t step = 0; step < 10 * all.size(); ++step) {
    const std::size_t i = random() % (all.size() - 1);
    if (!all[i].thread.empty() && all[i].thread == all[i + 1].thread) continue;
    std::swap(all[i], all[i + 1]);
  }
  return all;
}

}  // namespace

TEST_CASE("any order of independent statements has one form") {
  std::mt19937 random(20270314);
  const auto whole = [](const std::vector<Movable>& head, const std::vector<Movable>& s,
                        const std::vector<Movable>& t) {
    std::vector<Movable> all = head;
    all.push_back({"stage s of a {\n" + text_of(s) + "}", "a"});
    all.push_back({"stage s2 of a { lasts 1 day }", "a"});
    all.push_back({"stage t of b {\n" + text_of(t) + "}", "b"});
    return all;
  };
  const std::string form =
      inside(text_of(whole(movable_declarations(), statements(), statements())));
  for (int round = 0; round < 60; ++round) {
    const auto all =
        whole(movable_declarations(), moved(statements(), random), moved(statements(), random));
    CHECK(inside(text_of(moved(all, random))) == form);
  }
  // Two of a thread that change places do not.
  for (const std::vector<Movable>& block : {statements()}) {
    for (std::size_t i = 0; i + 1 < block.size(); ++i) {
      if (block[i].thread.empty() || block[i].thread != block[i + 1].thread) continue;
      std::vector<Movable> swapped = block;
      std::swap(swapped[i], swapped[i + 1]);
      CHECK(in_stage(text_of(swapped)) != in_stage(text_of(block)));
    }
  }
}
