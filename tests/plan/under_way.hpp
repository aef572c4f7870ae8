#pragma once

#include <string>

#include "../day.hpp"
#include "book/batches/batch.hpp"
#include "planned.hpp"

namespace budwood::plan::test {

using budwood::tests::day;

/// Sown and rooted in ranges of nature, with little time to wait, potted by a crew.
inline const std::string layers = R"(protocol p "P" {
  supply pot in pots
  part plant
  stage sow of plant {
    lasts 8 to 12 days usually 10 days
    may wait 2 days
    room house
    do "Sow" on day 1 { time 1 h  crew growers }
    do "Look" on day 5 { time 10 min  crew growers  use 1 pot each }
  }
  stage strike of plant {
    lasts 14 days
    no wait
    room fog
    do "Stick" on day 1 { time 1 h  crew growers  use 1 pot each }
  }
  stage harden of plant { lasts 6 to 9 days usually 7 days  room yard }
})";

/// A batch under way: "sow" begins on Monday 3 May when nothing has happened yet.
class UnderWay : public Planned {
 public:
  explicit UnderWay(const std::string& protocol = layers) : Planned(protocol) {
    add("A", 100, "2027-06-04");
  }

  UnderWay& today(const std::string& date) {
    book().today = day(date);
    return *this;
  }
  UnderWay& happened(const std::string& stage, book::Pin::Side side, const std::string& date) {
    batch().pins.push_back({stage, side, day(date), {}, true});
    return *this;
  }
  UnderWay& started(const std::string& stage, const std::string& date) {
    return happened(stage, book::Pin::Side::start, date);
  }
  UnderWay& ended(const std::string& stage, const std::string& date) {
    return happened(stage, book::Pin::Side::end, date);
  }
  UnderWay& done(const std::string& order, const std::string& date) {
    batch().done.push_back({order, day(date), {}});
    return *this;
  }
  book::Batch& batch() { return book().batches.front(); }

  /// "sow 05-03 05-13, strike 05-13 ..." and the codes of what is told.
  std::string dates() {
    const Plan& made = plan();
    const sheet::Row row = made.row_of(made.batches.front());
    if (!row.dated()) return "no dates";
    std::string out;
    for (const language::StageId s : row.protocol().stages.ids()) {
      out += row.stage(s).name + " " + calendar::iso_date(row.start(s)).substr(5) + " " +
             calendar::iso_date(row.end(s)).substr(5) + ", ";
    }
    out += "ready " + calendar::iso_date(*row.ready()).substr(5);
    for (const Conflict& conflict : made.conflicts) out += " " + conflict.code;
    return out;
  }
  std::string notes() {
    std::string out;
    for (const Note& note : plan().notes) out += note.message + "\n";
    return out;
  }
};

}  // namespace budwood::plan::test
