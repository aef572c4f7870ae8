#include <doctest/doctest.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "../golden.hpp"
#include "reading.hpp"

/// The language reference says what the engine does: the same codes, the same words, and examples
/// that are really read.
namespace {

using namespace reading;
namespace fs = std::filesystem;
using budwood::tests::content_of;
using Words = std::set<std::string>;

std::string joined(const Words& words) {
  std::string out;
  for (const std::string& word : words) out += word + " ";
  return out;
}

bool is_code_letter(char c) {
  return (c >= 'a' && c <= 'z') || c == '-';
}

/// The codes that stand, in quotes, behind each occurrence of `before`.
Words codes_after(const std::string& text, const std::string& before, char quote, char end) {
  Words out;
  for (std::size_t at = text.find(before); at != std::string::npos;
       at = text.find(before, at + 1)) {
    std::size_t begin = at + before.size();
    while (begin < text.size() && std::isspace(static_cast<unsigned char>(text[begin])) != 0)
      ++begin;
    if (begin >= text.size() || text[begin] != quote) continue;
    std::size_t stop = begin + 1;
    while (stop < text.size() && is_code_letter(text[stop])) ++stop;
    if (stop < text.size() && text[stop] == end && stop > begin + 1) {
      out.insert(text.substr(begin + 1, stop - begin - 1));
    }
  }
  return out;
}

Words codes_in_source() {
  Words out;
  for (const char* module : {"language", "text"}) {
    for (const auto& entry : fs::recursive_directory_iterator(fs::path(BUDWOOD_ENGINE) / module)) {
      const std::string text = content_of(entry.path());
      for (const char* call : {"error(", "warning(", "note(", ".code ="}) {
        out.merge(codes_after(text, call, '"', '"'));
      }
    }
  }
  return out;
}

/// The part of the reference from one heading to the next.
std::string section(const std::string& heading) {
  std::istringstream lines(content_of(fs::path(BUDWOOD_GRAMMAR) / "README.md"));
  std::string out;
  bool inside = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("#")) inside = line == heading;
    if (inside) out += line + "\n";
  }
  REQUIRE_FALSE(out.empty());
  return out;
}

/// What stands between backquotes in a line.
std::vector<std::string> quoted_in(const std::string& line) {
  std::vector<std::string> out;
  std::size_t begin = line.find('`');
  while (begin != std::string::npos) {
    const std::size_t end = line.find('`', begin + 1);
    if (end == std::string::npos) break;
    out.push_back(line.substr(begin + 1, end - begin - 1));
    begin = line.find('`', end + 1);
  }
  return out;
}

/// The page on work: all of it.
std::string work_page() {
  return content_of(fs::path(BUDWOOD_GRAMMAR) / "work.md");
}

/// The examples in the first column of the tables of a section.
std::vector<std::string> examples_in(const std::string& text) {
  std::istringstream lines(text);
  std::vector<std::string> out;
  for (std::string line; std::getline(lines, line);) {
    if (!line.starts_with("| ")) continue;
    for (const std::string& one : quoted_in(line.substr(0, line.find(" | ")))) out.push_back(one);
  }
  return out;
}

/// The lines of the code blocks of a section.
std::vector<std::string> code_blocks_in(const std::string& text) {
  std::istringstream lines(text);
  std::vector<std::string> out;
  bool inside = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("```")) {
      inside = !inside;
      if (inside) out.emplace_back();
    } else if (inside) {
      out.back() += line + "\n";
    }
  }
  return out;
}

/// A protocol in which the examples of stages and work find what they speak of.
std::string around(const std::string& stage_statements) {
  const bool takes = stage_statements.find("takes") != std::string::npos;
  return "protocol examples {\n"
         "supply tape in m\nsupply mix in L\nsupply blade in blades\n"
         "supply alcohol in mL\nsupply feed in L\ninput mix_volume = 2 L\n"
         "supply tray_72 in trays\nsupply label in labels\nsupply clip in clips reused\n"
         "observe callus in %\nobserve bark_slips\n"
         "part seedling\npart plant\n"
         "stage sowing of seedling { lasts 30 days }\n"
         "stage stand of plant {\n" +
         std::string(takes ? "" : "takes sowing\n") + "do \"Fill\" { use 1 tray_72 per 72 }\n" +
         stage_statements + "\n}\n" +
         // What is picked is ready, and no stage takes it.
         (stage_statements.find("picks") != std::string::npos
              ? "}\n"
              : "stage healing of plant { lasts 9 days }\n}\n");
}

void must_be_read(const std::string& example, const std::string& stage_statements) {
  const Reading read(around(stage_statements));
  INFO(example, ": ", read.first_message());
  CHECK(read.errors() == Codes{});
}

}  // namespace

TEST_CASE("every code of the language is shown by a golden file") {
  Words shown;
  for (const char* kind : {"accept", "mistakes"}) {
    for (const auto& entry : fs::directory_iterator(fs::path(BUDWOOD_LANGUAGE_TESTS) / kind)) {
      if (entry.path().extension() != ".expected") continue;
      const std::string text = content_of(entry.path());
      for (const char* severity : {"error", "warning", "note"}) {
        shown.merge(codes_after(text, severity, '[', ']'));
      }
    }
  }
  // These are about files; hostile_test.cpp and the tests of `text` show them.
  shown.merge(Words{"no-file", "unreadable-file", "large-file", "large-rule", "not-text",
                    "too-many", "csv-syntax"});
  Words missing;
  const Words used = codes_in_source();
  std::set_difference(used.begin(), used.end(), shown.begin(), shown.end(),
                      std::inserter(missing, missing.end()));
  CHECK(joined(missing).empty());
}

TEST_CASE("reference: the words that cannot be names are the keywords of the grammar") {
  const std::string grammar = content_of(fs::path(BUDWOOD_GRAMMAR) / "Budwood.g4");
  const std::size_t begin = grammar.find("// Keywords");
  const std::size_t end = grammar.find("LBRACE :", begin);
  REQUIRE(end != std::string::npos);
  Words keywords;
  const std::string table = grammar.substr(begin, end - begin);
  for (std::size_t at = table.find('\''); at != std::string::npos;) {
    const std::size_t stop = table.find('\'', at + 1);
    keywords.insert(table.substr(at + 1, stop - at - 1));
    at = table.find('\'', stop + 1);
  }
  const std::string text = section("## How text is written");
  const std::size_t list = text.find("cannot be names:");
  REQUIRE(list != std::string::npos);
  const std::size_t first = text.find('`', list);
  std::istringstream words(text.substr(first + 1, text.find('`', first + 1) - first - 1));
  Words listed;
  for (std::string word; words >> word;) listed.insert(word);
  CHECK(joined(listed) == joined(keywords));
}

TEST_CASE("reference: the statements of a stage are read as they stand there") {
  const auto examples = examples_in(section("## Stages"));
  REQUIRE(examples.size() > 8);
  for (const std::string& example : examples) {
    if (example.find(' ') == std::string::npos) continue;  // a keyword alone, treated elsewhere
    const std::string length = example.starts_with("lasts") ? "" : "lasts 30 days\n";
    const std::string room = example.starts_with("move") ? "room tunnel\n" : "";
    must_be_read(example, length + room + example);
  }
}

TEST_CASE("reference: the climate of a stage is read as it stands there") {
  const auto blocks = code_blocks_in(section("## Climate"));
  REQUIRE_FALSE(blocks.empty());
  for (const std::string& block : blocks) must_be_read(block, "lasts 30 days\n" + block);
}

TEST_CASE("reference: timings and the statements of work are read as they stand there") {
  const auto examples = examples_in(work_page());
  REQUIRE(examples.size() > 20);
  for (const std::string& example : examples) {
    const std::string first = example.substr(0, example.find(' '));
    const Words heads{"at",      "on", "every", "daily", "within",
                      "between", "in", "first", "after", "overnight"};
    const std::string fill = example.starts_with("after") ? "do \"Fill the trays\"\n" : "";
    const std::string work =
        fill + (heads.contains(first) ? "do \"x\" " + example : "do \"x\" { " + example + " }");
    must_be_read(example, "lasts 30 days\nroom tunnel\n" + work);
  }
}

TEST_CASE("reference: recipes are read as they stand there") {
  const std::string page = content_of(fs::path(BUDWOOD_GRAMMAR) / "recipes.md");
  const auto blocks = code_blocks_in(page);
  REQUIRE(blocks.size() == 1);
  const auto must_be_sound = [](const std::string& recipes) {
    const Reading read(
        "protocol examples {\nsupply peat_free in L\nsupply perlite in L hazard dust\n"
        "supply lime in kg\nsupply peroxide in L hazard corrosive\n" +
        recipes + "\npart plant\nstage stand of plant { lasts 3 days }\n}\n");
    INFO(recipes, ": ", read.first_message());
    CHECK(read.errors() == Codes{});
  };
  must_be_sound(blocks[0]);
  std::size_t tried = 0;
  for (const std::string& example : examples_in(page.substr(0, page.find("## When")))) {
    const bool head = example.starts_with("in ") || example.starts_with("keeps") ||
                      example.starts_with("made") || example.starts_with("at ") ||
                      example.starts_with("pH ");
    if (example.starts_with("makes")) {
      must_be_sound("recipe mix " + example + " { use 1 L peat_free }");
    } else if (head) {
      must_be_sound("recipe mix makes 1 L " + example + " { use 1 L peat_free }");
    } else {
      const std::string more = example.starts_with("use") ? "" : "use 1 L peat_free  ";
      must_be_sound("recipe mix makes 1 L { " + more + example + " }");
    }
    ++tried;
  }
  CHECK(tried >= 10);
}

TEST_CASE("reference: works in their order are read as they stand there") {
  const auto blocks = code_blocks_in(work_page());
  REQUIRE(blocks.size() == 2);
  must_be_read(blocks[1], "lasts 30 days\n" + blocks[1]);
}
