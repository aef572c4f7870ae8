#pragma once

#include <map>

#include "../plan/planned.hpp"
#include "record/entry.hpp"
#include "results/summary.hpp"

/// Books with counts that were noted, for tests of what came of them.
namespace budwood::results::test {

/// Two stages, one of which loses plants; a variant of the technique.
inline const std::string bark_grafts = R"(protocol bark "Bark grafts" {
  edition 2
  input take = 70 % from 30 % to 100 %
  supply scion_stick "Scion stick" in sticks
  part graft "Graft"
  stage grafting of graft "Grafting" {
    lasts 1 day
    room shed
    do "Graft" on day 1 { rate 30 per hour  crew grafters  use 1 scion_stick each
      record grafted in plants }
  }
  stage healing of graft "Healing" {
    lasts 20 days
    room tunnel
    loses 1 - take
    do "Look" on day 10 { time 20 min }
  }
  variant clipped "Clip instead of tape" { set take = 80 % }
}
)";

/// A season with entries, one a line of a test.
class Season : public plan::test::Planned {
 public:
  explicit Season(const std::string& protocol = bark_grafts) : Planned(protocol) {}

  book::Batch& batch(const std::string& id, const std::string& variant = {}) {
    book::Batch& one = add(id, 200, "2027-06-01");
    if (!variant.empty()) one.protocol.value = "bark." + variant;
    return one;
  }

  /// An entry that is not noted yet.
  record::Entry entry(record::What what, const std::string& batch, const std::string& place,
                      const std::string& day) {
    record::Entry out;
    out.id = "entry" + std::to_string(book().history.size());
    out.turn = static_cast<std::int64_t>(book().history.size());
    out.what = what;
    out.batch = batch;
    out.place = place;
    out.day = *calendar::parse_iso_date(day);
    return out;
  }
  void note(record::Entry entry) { book().history.push_back(std::move(entry)); }

  /// "61 of 80 in tray 7"; of 0: not said.
  void counted(const std::string& batch, double alive, double of, const std::string& tray = {},
               const std::string& day = "2027-05-20") {
    record::Entry one = entry(record::What::counted, batch, "healing", day);
    one.number = alive;
    if (of > 0) one.of = of;
    one.tray = tray;
    note(std::move(one));
  }

  void grafted(const std::string& batch, double plants, const std::string& by, double hours = 0) {
    record::Entry one = entry(record::What::done, batch, "grafting/1/1", "2027-05-11");
    one.number = plants;
    one.by = by;
    if (hours > 0) one.seconds = hours * 3600;
    note(std::move(one));
  }

  std::vector<Asked> asked() { return {{"test", &plan()}}; }

  Summary ask(Of of, By by) { return summarise(asked(), {of, by, ""}); }
};

inline const Row& row_of(const Summary& summary, const std::string& group) {
  for (const Row& row : summary.rows) {
    if (row.group == group) return row;
  }
  REQUIRE_MESSAGE(false, "no row `" << group << "`");
  return summary.rows.front();
}

}  // namespace budwood::results::test
