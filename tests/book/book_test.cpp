#include <doctest/doctest.h>

#include "book/book.hpp"
#include "book_folder.hpp"

using namespace budwood::book;
using namespace budwood::book::test;

namespace {

/// The codes of what is said about a folder.
std::vector<std::string> codes(const std::filesystem::path& folder, bool& has_book) {
  budwood::text::Sources sources;
  budwood::text::Diagnostics diagnostics;
  has_book = read_book(folder, sources, diagnostics).has_value();
  std::vector<std::string> found;
  for (const auto& d : diagnostics.sorted()) found.push_back(d.code);
  return found;
}

}  // namespace

TEST_CASE("a folder that is not there, or no folder") {
  bool has_book = true;
  const Folder folder;
  CHECK(codes(folder.path() / "nothing", has_book) == std::vector<std::string>{"no-book"});
  CHECK_FALSE(has_book);
  folder.write("file", "x");
  CHECK(codes(folder.path() / "file", has_book) == std::vector<std::string>{"no-book"});
}

TEST_CASE("each missing file is named") {
  bool has_book = true;
  const Folder folder;
  CHECK(codes(folder.path(), has_book) == std::vector<std::string>{"no-file", "no-file"});
  CHECK_FALSE(has_book);
  folder.write("site.yaml", small_site);
  CHECK(codes(folder.path(), has_book) == std::vector<std::string>{"no-file"});
  CHECK_FALSE(has_book);
  folder.write("batches.yaml", small_batches);
  CHECK(codes(folder.path(), has_book).empty());
  CHECK(has_book);
}

TEST_CASE("mistakes in one file are told when the other is missing") {
  bool has_book = true;
  const Folder folder;
  folder.write("batches.yaml", "batches: []\n");
  CHECK(codes(folder.path(), has_book) == std::vector<std::string>{"no-file", "no-batches"});
}

TEST_CASE("empty files") {
  bool has_book = true;
  const Folder folder;
  folder.write("site.yaml", "");
  folder.write("batches.yaml", "# only a remark\n");
  CHECK(codes(folder.path(), has_book) == std::vector<std::string>{"empty-file", "empty-file"});
  CHECK_FALSE(has_book);
}

TEST_CASE("files that are not text, and a folder in place of a file") {
  bool has_book = true;
  const Folder folder;
  folder.write("site.yaml", "site: N\xFF\n");
  std::filesystem::create_directory(folder.path() / "batches.yaml");
  CHECK(codes(folder.path(), has_book) == std::vector<std::string>{"not-text", "unreadable-file"});
}

TEST_CASE("a file that is not laid out as a book gives no book") {
  bool has_book = true;
  const Folder folder;
  folder.write("site.yaml", "- a\n");
  folder.write("batches.yaml", small_batches);
  CHECK(codes(folder.path(), has_book) == std::vector<std::string>{"wrong-kind"});
  CHECK_FALSE(has_book);
}

TEST_CASE("the same book reads the same twice, and Windows line ends change nothing") {
  Outcome unix_ends;
  Outcome windows_ends;
  read("site: N\nlatitude: x\n", small_batches, unix_ends);
  read("\xEF\xBB\xBFsite: N\r\nlatitude: x\r\n", small_batches, windows_ends);
  CHECK(unix_ends.problems.size() == 1);
  CHECK(unix_ends.problems == windows_ends.problems);
}

TEST_CASE("one slip in a protocol is one message, whatever the book says of it") {
  const std::string protocol =
      "protocol p \"P\" { supply pot in pots part plant stage s of plant { lasts 9 dais room bench "
      "do \"Pot\" { use 1 pot each } } }\n";
  const std::string rules = "rules house \"House\" { rule r { advise 1 = 1 els \"x\" } }\n";
  const auto problems = [](const std::string& text, const std::string& site) {
    const Folder folder;
    folder.write("site.yaml", "site: N\n" + site);
    folder.write("batches.yaml",
                 "batches:\n  - {batch: A1, protocol: p, plants: 6, ready: 2027-05-10}\n");
    folder.write("p.bud", text);
    budwood::text::Sources sources;
    budwood::text::Diagnostics found;
    read_book(folder.path(), sources, found);
    return found.sorted().size();
  };
  CHECK(problems(protocol, "names: {bench: table 3}\n") == 1);
  CHECK(problems(rules, "rules: [house]\n") == 1);
}

TEST_CASE("places in files of a folder beside are told without going round") {
  const Folder folder;
  std::filesystem::create_directories(folder.path() / "book");
  std::filesystem::create_directories(folder.path() / "methods");
  folder.write("book/site.yaml", "site: N\nprotocols: ../methods\n");
  folder.write("book/batches.yaml", small_batches);
  folder.write("methods/p.bud", "protocol p {");
  budwood::text::Sources sources;
  budwood::text::Diagnostics found;
  read_book(folder.path() / "book", sources, found);
  REQUIRE(!found.empty());
  const std::string place = budwood::text::describe(found.sorted().front().span);
  CHECK(place.find("..") == std::string::npos);
  CHECK(place.find("methods/p.bud:1") != std::string::npos);
}
