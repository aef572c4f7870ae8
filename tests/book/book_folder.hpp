#pragma once

#include <doctest/doctest.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "book/book.hpp"
#include "book/site/site.hpp"

namespace budwood::book::test {

/// A folder that exists as long as the test.
class Folder {
 public:
  Folder() {
    static std::atomic<int> made = 0;
    std::ostringstream name;
    name << "budwood_book_test_" << static_cast<const void*>(this) << '_' << ++made;
    path_ = std::filesystem::temp_directory_path() / name.str();
    std::filesystem::remove_all(path_);
    std::filesystem::create_directories(path_);
  }
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  void write(const std::string& name, const std::string& text) const {
    std::ofstream(path_ / name, std::ios::binary) << text;
  }
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

/// A diagnostic in one line, without the folder: "site.yaml:2:9 error wrong-value message".
inline std::string one_line(const text::Diagnostic& d) {
  std::string text;
  if (d.span.source != nullptr) {
    const text::Place place = d.span.source->place(d.span.begin);
    text = std::filesystem::path(d.span.source->name()).filename().string() + ":" +
           std::to_string(place.line) + ":" + std::to_string(place.column) + " ";
  }
  const char* severities[] = {"error", "warning", "note"};
  text += severities[static_cast<int>(d.severity)];
  return text + " " + d.code + " " + d.message + (d.advice.empty() ? "" : " " + d.advice);
}

/// What came of reading a book with these two files.
struct Outcome {
  std::optional<Book> book;
  std::vector<std::string> problems;
  text::Sources sources;
};

inline const char* small_site = "site: North house\n";
inline const char* small_batches =
    "batches:\n  - {batch: A1, protocol: bench_graft, plants: 6, ready: 2027-05-10}\n";

inline void read(const std::string& site, const std::string& batches, Outcome& outcome) {
  const Folder folder;
  folder.write("site.yaml", site);
  folder.write("batches.yaml", batches);
  text::Diagnostics diagnostics;
  outcome.book = read_book(folder.path(), outcome.sources, diagnostics);
  for (const text::Diagnostic& d : diagnostics.sorted()) outcome.problems.push_back(one_line(d));
}

/// One problem a line, so that a failed comparison can be read.
inline std::string joined(const std::vector<std::string>& problems) {
  std::string text;
  for (const std::string& problem : problems) text += problem + "\n";
  return text;
}

/// The site of these lines; it has no mistakes.
inline Site site_of(const std::string& lines) {
  Outcome outcome;
  read("site: N\n" + lines, small_batches, outcome);
  REQUIRE(joined(outcome.problems).empty());
  return outcome.book->site;
}

inline std::vector<std::string> problems_of_site(const std::string& site) {
  Outcome outcome;
  read(site, small_batches, outcome);
  return outcome.problems;
}

inline std::vector<std::string> problems_of_batches(const std::string& batches) {
  Outcome outcome;
  read(small_site, batches, outcome);
  return outcome.problems;
}

}  // namespace budwood::book::test
