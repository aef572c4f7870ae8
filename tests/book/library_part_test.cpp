#include <doctest/doctest.h>

#include <algorithm>

#include "book/book.hpp"
#include "book_folder.hpp"

using namespace budwood;
using namespace budwood::book;
using namespace budwood::book::test;

namespace {

/// A book whose batch follows `own`, which is based on `base` in a folder beside; there stand a
/// broken protocol and a sound one that nobody uses.
struct Library {
  explicit Library(const std::string& batch_protocol = "own", const std::string& site = "") {
    std::filesystem::create_directories(folder.path() / "book");
    std::filesystem::create_directories(folder.path() / "methods" / "rules");
    folder.write("book/site.yaml", "site: N\nprotocols: ../methods\n" + site);
    folder.write("book/batches.yaml", "batches:\n  - {batch: A1, protocol: " + batch_protocol +
                                          ", plants: 6, ready: 2027-05-10}\n");
    folder.write("methods/base.bud",
                 "protocol base { edition 1 part s stage g of s { lasts 3 days } }\n");
    folder.write("methods/broken.bud", "protocol broken { part }\n");
    folder.write(
        "methods/other.bud",
        "protocol other { part s supply clip \"Clip\" in clips\n"
        "  stage g of s { lasts 1 day room loft do \"Clip\" on day 1 { use 1 clip each } } "
        "}\n");
    folder.write("methods/own.bud",
                 "protocol own based on base edition 1 { edition 2 change stage g { lasts 4 days } "
                 "}\n");
    folder.write("methods/rules/house.bud",
                 "rules house \"House\" { rule r { advise 1 = 1 else \"x\" } }\n");
  }

  std::vector<std::string> read(LibraryPart part) {
    text::Diagnostics found;
    book = read_book(folder.path() / "book", sources, found, part);
    std::vector<std::string> codes;
    for (const auto& d : found.sorted()) codes.push_back(d.code);
    return codes;
  }
  std::vector<std::string> names() const {
    std::vector<std::string> out;
    for (const language::Protocol& one : book->protocols) out.push_back(one.name);
    return out;
  }

  Folder folder;
  text::Sources sources;
  std::optional<Book> book;
};

using Strings = std::vector<std::string>;

}  // namespace

TEST_CASE("of a library what the batches follow is read, with its base, and nothing else") {
  Library library;
  CHECK(library.read(LibraryPart::used).empty());
  CHECK(library.names() == Strings{"base", "own"});
  CHECK(library.book->rule_sets.empty());
  CHECK_FALSE(library.read(LibraryPart::whole).empty());  // the broken one is told
  CHECK(library.names() == Strings{"base", "other", "own"});
  CHECK(library.book->rule_sets.size() == 1);
}

TEST_CASE("rules that a site follows and editions that are kept are read too") {
  Library library("own", "rules: [house]\n");
  library.folder.write("book/editions.yaml",
                       "editions:\n  - protocol: other\n    edition: 1\n    fingerprint: "
                       "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef\n"
                       "batches: {}\n");
  library.read(LibraryPart::used);
  CHECK(library.names() == Strings{"base", "other", "own"});
  CHECK(library.book->rule_sets.size() == 1);
}

TEST_CASE("where a batch follows nothing that is there, all is read to say what there is") {
  Library library("ohter");
  CHECK_FALSE(library.read(LibraryPart::used).empty());
  CHECK(library.names() == Strings{"base", "other", "own"});
}

TEST_CASE("a site's word for what only a protocol beside uses is not called unknown") {
  const auto told = [](const std::string& site) {
    return Library("own", site).read(LibraryPart::used);
  };
  CHECK(told("names: {clip: peg}\n").empty());
  CHECK(told("names: {loft: attic}\n").empty());
  CHECK(told("names: {cliq: peg}\n") == Strings{"unknown-name"});
}
