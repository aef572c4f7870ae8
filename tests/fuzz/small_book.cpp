#include "small_book.hpp"

#include "language/language.hpp"

namespace budwood::fuzz {

namespace {

constexpr const char* layering = R"(protocol layering "Layering" {
  edition 3
  input take = 80 % from 50 % to 100 %
  input speed = 40 per hour
  supply tie "Tie" in ties pack 100
  part layer "Layer"
  stage wound of layer {
    lasts 1 day
    room bench
    do "Ring the bark" on day 1 { rate speed  crew cutters  use 1 tie each }
  }
  stage rooting of layer {
    lasts 18 to 24 days usually 20 days
    room tunnel
    loses 1 - take
    do "Look" every 2 days from day 2 { time 15 min  crew cutters }
  }
})";

}  // namespace

SmallBook::SmallBook() {
  text::Diagnostics reading;
  book_.protocols = language::read(sources_.add("small.bud", layering), reading).protocols;
  must(!reading.has_errors(), "mistakes in the protocol of the small book");
  using calendar::Weekday;
  book_.site.name.value = "Small";
  book_.site.working = calendar::WorkingDays(
      {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
      {});
  for (const char* id : {"A1", "A2", "B-2"}) {
    book::Batch batch;
    batch.id.value = id;
    batch.protocol.value = "layering";
    batch.plants.value = 300;
    batch.ready = book::Placed<calendar::Day>{*calendar::parse_iso_date("2027-05-14"), {}};
    book_.batches.push_back(std::move(batch));
  }
}

}  // namespace budwood::fuzz
