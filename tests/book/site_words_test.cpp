#include <doctest/doctest.h>

#include "book/book.hpp"
#include "book/site/site.hpp"
#include "book_folder.hpp"
#include "language/model.hpp"

/// A site's own names for rooms, crews and supplies, and its units.
using namespace budwood::book;
using namespace budwood::book::test;
namespace language = budwood::language;
namespace units = budwood::units;

namespace {

const char* const leaves = R"(
protocol leaves {
  input warmth = 22 degC from 15 degC to 30 degC
  supply mix in L
  supply bench "Bench paper" in m
  observe roots in %
  part leaf
  stage laying of leaf {
    lasts 12 days
    room bench
    keep air warmth
    do "Lay" on day 1 { rate 90 per hour  crew bench  use 1.5 L mix each  use 0.2 m bench each }
    do "Look" daily { time 5 min  record roots }
    if roots < 40 % on day 9 {
      do "Lay anew" { time 20 min  crew bench  use 2 L mix each }
    }
  }
}
)";

/// The protocol as a site with these lines has it.
class OwnWords {
 public:
  explicit OwnWords(const std::string& lines) {
    folder_.write("leaves.bud", leaves);
    folder_.write("site.yaml", "site: Hill\n" + lines);
    folder_.write("batches.yaml",
                  "batches: [{batch: L1, protocol: leaves, plants: 40, ready: 2027-05-10}]\n");
    book_ = read_book(folder_.path(), sources_, diagnostics_);
  }
  const language::Protocol& operator*() const { return book_->protocols.front(); }
  const language::Protocol* operator->() const { return &book_->protocols.front(); }
  const Site& site() const { return book_->site; }
  std::vector<std::string> codes() const {
    std::vector<std::string> out;
    for (const auto& d : diagnostics_.sorted()) out.push_back(d.code);
    return out;
  }

 private:
  Folder folder_;
  budwood::text::Sources sources_;
  budwood::text::Diagnostics diagnostics_;
  std::optional<Book> book_;
};

}  // namespace

TEST_CASE("own names: a name means whatever is called so, unless it says what") {
  const OwnWords all("names: {bench: long table, mix: house mix}\n");
  const language::Stage& stage = all->stages.front();
  CHECK(all.codes().empty());
  CHECK(stage.room == "long table");
  CHECK(stage.works.front().crew == "long table");
  CHECK(all->supplies[0].name == "house mix");
  CHECK(all->supplies[0].title == "house mix");
  CHECK(all->supplies[1].name == "long table");
  const OwnWords apart("names: {room bench: long table, crew bench: bench team}\n");
  CHECK(apart->stages.front().room == "long table");
  CHECK(apart->stages.front().works.front().crew == "bench team");
  CHECK(apart->supplies[1].title == "Bench paper");
}

TEST_CASE("own names: what says the kind goes before what does not") {
  const OwnWords book("names: {bench: long table, crew bench: bench team}\n");
  CHECK(book->stages.front().works.front().crew == "bench team");
  CHECK(book->stages.front().room == "long table");
}

TEST_CASE("own names: they reach what an `if` tells people to do") {
  const OwnWords book("names: {crew bench: bench team, mix: house mix}\n");
  const auto& action = book->stages.front().contingencies.front().actions.front();
  CHECK(action.work.crew == "bench team");
  CHECK(action.details ==
        std::vector<std::string>{"time 20 min", "crew bench team", "use 2 L house mix each"});
}

TEST_CASE("own names: rooms, crews and supplies of a site may have them") {
  const OwnWords book(
      "rooms: {fog tent 2: {holds: 30 m2}}\ncrews: {bench team: {people: 2, hours: 7 h}}\n"
      "supplies: {house mix: {on_hand: 40 L}}\n");
  CHECK(book.codes().empty());
  CHECK(book.site().rooms.contains("fog tent 2"));
  CHECK(book.site().crews.contains("bench team"));
  CHECK(book.site().supplies.contains("house mix"));
}

TEST_CASE("own names: names that cannot be are reported") {
  CHECK(OwnWords("names: {mist_frme: fog tent}\n").codes() ==
        std::vector<std::string>{"unknown-name"});
  CHECK(OwnWords("names: {bench: a.b}\n").codes() == std::vector<std::string>{"bad-name"});
  CHECK(OwnWords("names: {bench: \"\"}\n").codes().front() == "wrong-value");
  CHECK(OwnWords("names: {room bench: [a, b]}\n").codes().front() == "wrong-value");
  CHECK(OwnWords("names: {9x: tent}\n").codes() == std::vector<std::string>{"bad-name"});
  CHECK(OwnWords("rooms: {\"a=b\": {}}\n").codes() == std::vector<std::string>{"bad-name"});
  CHECK(OwnWords("names: {mix: paper, supply bench: paper}\n").codes() ==
        std::vector<std::string>{"same-name"});
}

TEST_CASE("own units: settings, inputs and supplies are shown in them, plain numbers keep theirs") {
  const OwnWords book("units: us\n");
  CHECK(book.codes().empty());
  CHECK(book->system == units::System::us_customary);
  CHECK(book->stages.front().settings.front().unit.symbol == "degF");
  CHECK(book->inputs.front().unit.symbol == "degF");
  CHECK(book->inputs.front().plain_unit.symbol == "degC");
  CHECK(book->supplies[0].unit.symbol == "gal");
  CHECK(book->supplies[0].plain_unit.symbol == "L");
  const OwnWords written("");
  CHECK(written->supplies[0].unit.symbol == "L");
}

TEST_CASE("own units: only the two systems are known") {
  CHECK(OwnWords("units: imperial\n").codes() == std::vector<std::string>{"wrong-value"});
  CHECK(OwnWords("units: [us]\n").codes() == std::vector<std::string>{"wrong-value"});
}
