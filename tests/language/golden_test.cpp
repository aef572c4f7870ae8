#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "language/language.hpp"

/// Files beside the tests: protocols that must be accepted, and mistakes with what is printed for
/// them. tests/refresh_golden rewrites what is expected; what it changed is then read in the diff.
namespace {

using namespace budwood;
namespace fs = std::filesystem;

const fs::path folder = BUDWOOD_LANGUAGE_TESTS;

std::vector<fs::path> protocols_in(const std::string& name) {
  std::vector<fs::path> out;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder / name)) {
    if (entry.path().extension() == ".bud") out.push_back(entry.path());
  }
  std::sort(out.begin(), out.end());
  return out;
}

std::string content_of(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream out;
  out << file.rdbuf();
  return out.str();
}

/// What is printed for a file, under its bare name so that it is the same everywhere.
struct Reading {
  std::string printed;
  std::vector<language::Protocol> protocols;
  std::size_t errors = 0;
};

Reading read(const fs::path& path) {
  Reading reading;
  text::Sources sources;
  text::Diagnostics diagnostics;
  std::string content = content_of(path);
  if (content.starts_with("\xEF\xBB\xBF")) content.erase(0, 3);
  const text::Source& source = sources.add(path.filename().string(), content);
  reading.protocols = language::read(source, diagnostics);
  reading.errors = diagnostics.count(text::Severity::error);
  std::ostringstream out;
  text::print(out, diagnostics, text::Colour::never);
  reading.printed = out.str();
  return reading;
}

/// Compares with the file beside it, or rewrites that. Nothing printed needs no file.
void check_printed(const fs::path& path, const std::string& printed) {
  const fs::path expected = fs::path(path).replace_extension(".expected");
  if (std::getenv("BUDWOOD_REFRESH_GOLDEN") != nullptr) {
    if (printed.empty()) {
      fs::remove(expected);
    } else {
      std::ofstream(expected, std::ios::binary) << printed;
    }
  }
  INFO("golden file of ", path.filename().string());
  CHECK(printed == content_of(expected));
}

}  // namespace

TEST_CASE("golden: protocols that must be accepted") {
  const auto paths = protocols_in("accept");
  REQUIRE(paths.size() >= 10);
  for (const fs::path& path : paths) {
    const Reading reading = read(path);
    CHECK(reading.errors == 0);
    CHECK_FALSE(reading.protocols.empty());
    check_printed(path, reading.printed);
  }
}

TEST_CASE("golden: mistakes and what is said about them") {
  const auto paths = protocols_in("mistakes");
  REQUIRE(paths.size() >= 15);
  for (const fs::path& path : paths) {
    const Reading reading = read(path);
    CHECK(reading.errors > 0);
    CHECK(reading.protocols.empty());
    check_printed(path, reading.printed);
  }
}

TEST_CASE("golden: ten mistakes give ten diagnostics, each at the line that holds it") {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source =
      sources.add("ten_mistakes.bud", content_of(folder / "mistakes" / "ten_mistakes.bud"));
  language::read(source, diagnostics);
  const auto all = diagnostics.sorted();
  REQUIRE(all.size() == 10);
  for (std::size_t i = 0; i < all.size(); ++i) {
    const std::size_t line = source.place(all[i].span.begin).line;
    const std::string mark = "# " + std::to_string(i + 1) + ":";
    INFO(all[i].message);
    CHECK(source.line(line).find(mark) != std::string_view::npos);
  }
}
