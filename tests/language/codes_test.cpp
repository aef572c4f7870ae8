#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <sstream>

/// The codes of the diagnostics in the source are the codes in the language reference, and each is
/// shown by a golden file.
namespace {

namespace fs = std::filesystem;

std::string content_of(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream out;
  out << file.rdbuf();
  return out.str();
}

std::set<std::string> all_matches(const std::string& text, const std::regex& pattern) {
  std::set<std::string> out;
  for (std::sregex_iterator i(text.begin(), text.end(), pattern), end; i != end; ++i) {
    out.insert((*i)[1].str());
  }
  return out;
}

std::set<std::string> codes_in_source() {
  std::set<std::string> out;
  const std::regex reported(R"((?:error|warning|note)\(\s*"([a-z-]+)\")");
  const std::regex assigned(R"(\.code = "([a-z-]+)\")");
  for (const char* module : {"language", "text"}) {
    for (const auto& entry : fs::directory_iterator(fs::path(BUDWOOD_ENGINE) / module)) {
      const std::string text = content_of(entry.path());
      out.merge(all_matches(text, reported));
      out.merge(all_matches(text, assigned));
    }
  }
  return out;
}

/// The rows of the tables under the two headings of the reference.
std::set<std::string> codes_in_reference() {
  std::istringstream lines(content_of(BUDWOOD_REFERENCE));
  std::set<std::string> out;
  const std::regex row(R"(^\| `([a-z-]+)` \|)");
  bool wanted = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("#")) {
      wanted = line == "### Files and text" || line == "### Protocols";
    }
    std::smatch match;
    if (wanted && std::regex_search(line, match, row)) out.insert(match[1].str());
  }
  return out;
}

std::string joined(const std::set<std::string>& words) {
  std::string out;
  for (const std::string& word : words) out += word + " ";
  return out;
}

}  // namespace

TEST_CASE("every code is in the reference, and the reference names no other") {
  const std::set<std::string> source = codes_in_source();
  REQUIRE(source.size() > 30);
  CHECK(joined(codes_in_reference()) == joined(source));
}

TEST_CASE("every code of the language is shown by a golden file") {
  std::set<std::string> shown;
  const std::regex printed(R"((?:error|warning|note) \[([a-z-]+)\])");
  for (const char* kind : {"accept", "mistakes"}) {
    for (const auto& entry : fs::directory_iterator(fs::path(BUDWOOD_LANGUAGE_TESTS) / kind)) {
      if (entry.path().extension() == ".expected") {
        shown.merge(all_matches(content_of(entry.path()), printed));
      }
    }
  }
  std::set<std::string> missing;
  for (const std::string& code : codes_in_source()) {
    // These are about whole files; hostile_test.cpp and the tests of `text` show them.
    static const std::set<std::string> of_files{"no-file", "unreadable-file", "large-file",
                                                "not-text", "too-many"};
    if (!shown.contains(code) && !of_files.contains(code)) missing.insert(code);
  }
  CHECK(joined(missing).empty());
}
