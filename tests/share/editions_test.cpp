#include <doctest/doctest.h>

#include "../book/book_folder.hpp"
#include "method.hpp"
#include "share/editions.hpp"

/// The editions of a book: which batch is on which, and what is kept of them.
namespace {

using namespace budwood;
using book::test::Folder;
using book::test::one_line;
using share::test::protocol;

/// A book in a folder, read again after each change.
class Kept {
 public:
  Kept() {
    folder.write("site.yaml", "site: North house\n");
    folder.write("batches.yaml",
                 "batches:\n"
                 "  - {batch: A1, protocol: p, plants: 6, ready: 2027-05-10}\n"
                 "  - {batch: A2, protocol: p edition 1, plants: 6, ready: 2027-05-10}\n");
    folder.write("one.bud", protocol(1, "5"));
  }

  book::Book read() {
    sources.push_back(std::make_unique<text::Sources>());
    text::Diagnostics diagnostics;
    auto out = book::read_book(folder.path(), *sources.back(), diagnostics);
    problems.clear();
    for (const text::Diagnostic& d : diagnostics.sorted()) problems.push_back(one_line(d));
    REQUIRE(out);
    return *out;
  }
  void keep(book::Keeping keeping = book::Keeping::anew) {
    folder.write("editions.yaml", book::editions_yaml(read(), keeping));
  }
  int edition_of(const std::string& id) {
    const book::Book one = read();
    for (const book::Batch& batch : one.batches) {
      if (batch.id.value != id) continue;
      const language::Protocol* found = book::protocol_of(one, batch);
      return found == nullptr ? 0 : found->edition;
    }
    return -1;
  }

  Folder folder;
  std::vector<std::string> problems;
  std::vector<std::unique_ptr<text::Sources>> sources;
};

}  // namespace

TEST_CASE("a batch is on the newest edition until one is kept for it") {
  Kept book;
  CHECK(book.edition_of("A1") == 1);
  book.folder.write("two.bud", protocol(2, "6"));
  CHECK(book.edition_of("A1") == 2);
  CHECK(book.edition_of("A2") == 1);
  book.keep();
  book.folder.write("three.bud", protocol(3, "7"));
  CHECK(book.edition_of("A1") == 2);
  CHECK(book.problems.empty());
}

TEST_CASE("a batch is moved on purpose") {
  Kept book;
  book.keep();
  book.folder.write("two.bud", protocol(2, "6"));
  book.folder.write("three.bud", protocol(3, "7"));
  book::Book read = book.read();
  CHECK(share::move_batch(read, "A1", 2).empty());
  book.folder.write("editions.yaml", book::editions_yaml(read, book::Keeping::as_kept));
  CHECK(book.edition_of("A1") == 2);
  read = book.read();
  CHECK(share::move_batch(read, "A1", std::nullopt).empty());
  book.folder.write("editions.yaml", book::editions_yaml(read, book::Keeping::as_kept));
  CHECK(book.edition_of("A1") == 3);
  CHECK(share::move_batch(read, "A1", 4) ==
        "There is no edition 4 of `p`; there is edition 1, 3 and 2.");
  CHECK(share::move_batch(read, "A2", 3).find("change it there") != std::string::npos);
  CHECK(share::move_batch(read, "A9", 3).starts_with("There is no batch `A9`."));
}

TEST_CASE("what means something else under the same number is told") {
  Kept book;
  book.keep();
  book.folder.write("one.bud", "# only a comment\n" + protocol(1, "5"));
  book.read();
  CHECK(book.problems.empty());
  book.folder.write("one.bud", protocol(1, "6"));
  book.read();
  REQUIRE(book.problems.size() == 1);
  CHECK(book.problems.front().starts_with("one.bud:1:10 warning edition-changed"));
  // Moving a batch does not take the change for granted, keeping does.
  book.keep(book::Keeping::as_kept);
  book.read();
  CHECK(book.problems.size() == 1);
  book.keep();
  book.read();
  CHECK(book.problems.empty());
}

TEST_CASE("a list of editions tells who uses them") {
  Kept book;
  book.folder.write("two.bud", protocol(2, "6"));
  const book::Book read = book.read();
  const auto all = share::list_editions(read);
  REQUIRE(all.size() == 2);
  CHECK(all[0].edition == 1);
  CHECK(all[0].batches == std::vector<std::string>{"A2"});
  CHECK(all[1].batches == std::vector<std::string>{"A1"});
  CHECK(all[1].fingerprint.size() == 64);
}

TEST_CASE("editions.yaml with mistakes") {
  Kept book;
  const auto problem_of = [&](const std::string& text) {
    book.folder.write("editions.yaml", text);
    book.read();
    return book::test::joined(book.problems);
  };
  const std::string digits(64, 'a');
  CHECK(problem_of("editions: [\n").find("yaml-syntax") != std::string::npos);
  CHECK(problem_of("edition: []\n").find("editions.yaml:1:1 error unknown-key") !=
        std::string::npos);
  CHECK(problem_of("editions: 3\n").find("editions.yaml:1:11 error wrong-value") !=
        std::string::npos);
  CHECK(problem_of("editions:\n  - {protocol: p, edition: 0, fingerprint: " + digits + "}\n")
            .find("editions.yaml:2:28 error out-of-range") != std::string::npos);
  CHECK(problem_of("editions:\n  - {protocol: p, edition: 1, fingerprint: abc}\n")
            .find("error wrong-value") != std::string::npos);
  CHECK(problem_of("editions:\n  - {protocol: p, fingerprint: " + digits + "}\n")
            .find("error missing-key") != std::string::npos);
  CHECK(problem_of("batches:\n  A1: p\n").find("editions.yaml:2:7 error") != std::string::npos);
  CHECK(
      problem_of("batches:\n  B7: p edition 1\n").find("editions.yaml:2:3 warning unknown-batch") !=
      std::string::npos);
  const std::string one = "  - {protocol: p, edition: 1, fingerprint: " + digits + "}\n";
  CHECK(problem_of("editions:\n" + one + one).find("editions.yaml:3:5 error repeated-value") !=
        std::string::npos);
}

TEST_CASE("a batch of another protocol starts afresh") {
  Kept book;
  book.folder.write("editions.yaml", "batches:\n  A1: q edition 7\n");
  CHECK(book.edition_of("A1") == 1);
  book.folder.write("editions.yaml", "batches:\n  A1: p edition 7\n");
  CHECK(book.edition_of("A1") == 0);
}

TEST_CASE("a trial of another protocol leaves batches on other editions where they are") {
  Kept book;
  book.folder.write("two.bud", protocol(2, "6"));
  const book::Book read = book.read();
  const language::Protocol& from = *book::protocol_of(read, read.batches[0]);
  REQUIRE(from.edition == 2);
  language::Protocol to = from;
  to.edition = 3;
  const book::Book other = share::with_other_protocol(read, from, to);
  CHECK(book::protocol_of(other, other.batches[0])->edition == 3);
  CHECK(book::protocol_of(other, other.batches[1])->edition == 1);
}
