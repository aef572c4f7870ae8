#include "plan/rooms/room_closures.hpp"

#include <algorithm>
#include <random>

#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "book/site/site.hpp"
#include "language/model.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "planned.hpp"

using namespace budwood;
using namespace budwood::plan;
using namespace budwood::plan::test;

namespace {

/// Ten days in the fog house; ready on Friday 14 May they are Tuesday the 4th to Thursday the 13th.
std::string house(const std::string& works, const std::string& name = "house") {
  return "protocol " + name +
         " {\n  input closed = 12 h\n  part tip\n  stage rooting of tip {\n    lasts 10 days\n"
         "    room fog_house\n" +
         works + "\n  }\n}\n";
}

constexpr const char* ready = "2027-05-14";

/// "id date" of each order, conflict codes behind them.
std::string orders_of(const Plan& plan) {
  std::string out;
  for (const WorkOrder& order : plan.orders) {
    out += order_id(plan, order) + " " + calendar::short_date(order.date) + "\n";
  }
  for (const Conflict& conflict : plan.conflicts) out += conflict.code + "\n";
  return out;
}

std::string planned_orders(const std::string& works, std::optional<book::WorkingHours> hours = {}) {
  Planned planned(house(works));
  planned.add("A", 50, ready);
  planned.site().hours = hours;
  return orders_of(planned.plan());
}

std::vector<std::string> notes_of(const Plan& plan, const std::string& id) {
  for (const WorkOrder& order : plan.orders) {
    if (order_id(plan, order) == id) return describe(plan, order).notes;
  }
  FAIL("no order ", id);
  return {};
}

using Notes = std::vector<std::string>;

}  // namespace

TEST_CASE(
    "a room is closed from the end of the shift, and blocks a day when still closed at its "
    "beginning") {
  const auto spray = [](const std::string& time) {
    return "do \"Spray\" on day 3 { no entry for " + time +
           " after }\n do \"Look\" on day 4 within 1 day";
  };
  const std::string same = "A/rooting/1/1 Thu 2027-05-06\nA/rooting/2/1 Fri 2027-05-07\n";
  const std::string later = "A/rooting/1/1 Thu 2027-05-06\nA/rooting/2/1 Sat 2027-05-08\n";
  // 16:00 and 16 hours are 08:00, when people come in.
  CHECK(planned_orders(spray("16 h")) == same);
  CHECK(planned_orders(spray("961 min")) == later);
  CHECK(planned_orders(spray("closed")) == same);
  CHECK(planned_orders(spray("closed * 3")) == later);
  const book::WorkingHours early{7 * 60, 15 * 60 + 30, {}};
  CHECK(planned_orders(spray("15.5 h"), early) == same);
  CHECK(planned_orders(spray("15.75 h"), early) == later);
}

TEST_CASE("work with a crew moves to a day on which people work, or not at all") {
  const std::string spray = "do \"Spray\" on day 3 { no entry for 20 h after }\n";
  CHECK(planned_orders(spray + "do \"Look\" on day 4 within 3 days { crew growers }") ==
        "A/rooting/1/1 Thu 2027-05-06\nA/rooting/2/1 Mon 2027-05-10\n");
  CHECK(planned_orders(spray + "do \"Look\" on day 4 within 2 days { crew growers }") ==
        "A/rooting/1/1 Thu 2027-05-06\nA/rooting/2/1 Fri 2027-05-07\nno-entry\n");
  // Repeated work gives way up to the eve of its next turn.
  CHECK(planned_orders(spray + "do \"Look\" every 3 days from day 4 to day 7") ==
        "A/rooting/1/1 Thu 2027-05-06\nA/rooting/2/1 Sat 2027-05-08\nA/rooting/2/2 Mon "
        "2027-05-10\n");
  // After the last day of the stage the plants are elsewhere.
  CHECK(planned_orders("do \"Spray\" on day 9 { no entry for 20 h after }\n"
                       "do \"Look\" on day 10 within 5 days") ==
        "A/rooting/1/1 Wed 2027-05-12\nA/rooting/2/1 Thu 2027-05-13\nno-entry\n");
}

TEST_CASE("orders tell what closed rooms mean for them") {
  Planned planned(
      house("do \"Spray\" on day 3 { no entry for 20 h after }\n"
            "do \"Look\" on day 3, day 4 within 1 day\n"
            "do \"Count\" on day 4"));
  planned.add("A", 50, ready);
  const Plan& plan = planned.plan();
  CHECK(notes_of(plan, "A/rooting/1/1") ==
        Notes{"No entry to `fog_house` until Fri 2027-05-07 12:00. Post the notice at the door; "
              "the product label may ask for longer."});
  CHECK(notes_of(plan, "A/rooting/2/1") ==
        Notes{"Before \"Spray\" of batch A: nobody enters `fog_house` after it until Fri "
              "2027-05-07 12:00."});
  CHECK(notes_of(plan, "A/rooting/2/2") ==
        Notes{"Due on 2027-05-07.",
              "Moved to this day: nobody may enter `fog_house` until Fri 2027-05-07 12:00, after "
              "\"Spray\" of batch A on Thu 2027-05-06."});
  CHECK(notes_of(plan, "A/rooting/3/1") ==
        Notes{"Nobody may enter `fog_house` on this day: it is closed until Fri 2027-05-07 12:00, "
              "after \"Spray\" of batch A."});
}

TEST_CASE("work that no open day is left for is a conflict that names both batches") {
  Planned planned(house("do \"Spray\" on day 3 { no entry for 30 h after }", "sprayed") +
                  house("do \"Look\" on day 3, day 4", "looked_at") +
                  "protocol elsewhere { part tip stage cooling of tip { lasts 10 days "
                  "room cold_store do \"Look\" on day 4 } }");
  planned.add("A", 50, ready).protocol.value = "sprayed";
  planned.add("B", 50, ready).protocol.value = "looked_at";
  planned.add("C", 50, ready).protocol.value = "elsewhere";
  const Plan& plan = planned.plan();
  REQUIRE(plan.conflicts.size() == 1);
  const Conflict& conflict = plan.conflicts[0];
  CHECK(conflict.batch == "B");
  CHECK(conflict.code == "no-entry");
  CHECK(conflict.message ==
        "\"Look\" of batch B falls on Fri 2027-05-07, when nobody may enter `fog_house`: it is "
        "closed until Fri 2027-05-07 22:00 after \"Spray\" of batch A on Thu 2027-05-06.");
  CHECK(texts_of(conflict.repairs) ==
        Notes{"Let \"Look\" be late: `within 1 day`.",
              "Move \"Spray\" of batch A to Fri 2027-05-07, as the last work of that day.",
              "Let `rooting` of batch B stand in another room."});
}

TEST_CASE("each repair of a closed room removes the conflict") {
  const std::string spray = "do \"Spray\" on day 3 { no entry for 50 h after }\n";
  CHECK(planned_orders(spray + "do \"Look\" on day 5").find("no-entry") != std::string::npos);
  Planned planned(house(spray + "do \"Look\" on day 5"));
  planned.add("A", 50, ready);
  REQUIRE(planned.plan().conflicts.size() == 1);
  CHECK(texts_of(planned.plan().conflicts[0].repairs) ==
        Notes{"Let \"Look\" be late: `within 1 day`.",
              "Move \"Spray\" of batch A to Sat 2027-05-08, as the last work of that day."});
  CHECK(planned_orders(spray + "do \"Look\" on day 5 within 1 day").find("no-entry") ==
        std::string::npos);
  CHECK(planned_orders("do \"Spray\" on day 5 { no entry for 50 h after }\ndo \"Look\" on day 5")
            .find("no-entry") == std::string::npos);
}

TEST_CASE("no repair is offered that would lead out of the stage or into the next turn") {
  const auto repairs = [](const std::string& look) {
    Planned planned(house("do \"Spray\" on day 9 { no entry for 20 h after }\n" + look));
    planned.add("A", 50, ready);
    const Plan& plan = planned.plan();
    REQUIRE(plan.conflicts.size() == 1);
    return texts_of(plan.conflicts[0].repairs);
  };
  const Notes move_spray{
      "Move \"Spray\" of batch A to Thu 2027-05-13, as the last work of that day."};
  CHECK(repairs("do \"Look\" on day 10") == move_spray);
  CHECK(repairs("do \"Look\" every 1 day from day 10") == move_spray);
}

TEST_CASE("the turns of one work that fall into one closure are one conflict") {
  Planned planned(house("do \"Spray\" on day 3 { no entry for 3 days after }\ndo \"Air\" daily"));
  planned.add("A", 50, ready);
  const Plan& plan = planned.plan();
  REQUIRE(plan.conflicts.size() == 1);
  CHECK(plan.conflicts[0].message ==
        "\"Air\" of batch A falls 3 times from Fri 2027-05-07 to Sun 2027-05-09, when nobody may "
        "enter `fog_house`: it is closed until Sun 2027-05-09 16:00 after \"Spray\" of batch A on "
        "Thu 2027-05-06.");
  CHECK(texts_of(plan.conflicts[0].repairs) ==
        Notes{"Leave \"Air\" out on these days, or move \"Spray\" of batch A to a day after which "
              "nobody has to come in."});
}

TEST_CASE("a treatment that has to wait for another closes the room later") {
  CHECK(planned_orders("do \"Spray\" on day 3 { no entry for 20 h after }\n"
                       "do \"Feed\" on day 4 within 3 days { no entry for 20 h after }\n"
                       "do \"Look\" on day 5 within 1 day") ==
        "A/rooting/1/1 Thu 2027-05-06\n"
        "A/rooting/2/1 Sat 2027-05-08\n"    // not Friday
        "A/rooting/3/1 Sat 2027-05-08\n");  // before the feed; on Sunday it would be closed
  CHECK(planned_orders("do \"Spray\" on day 3 { no entry for 20 h after }\n"
                       "do \"Feed\" on day 4 within 3 days { no entry for 20 h after }\n"
                       "do \"Look\" on day 6 within 2 days") ==
        "A/rooting/1/1 Thu 2027-05-06\nA/rooting/2/1 Sat 2027-05-08\nA/rooting/3/1 Mon "
        "2027-05-10\n");
}

TEST_CASE("of two treatments of a day the one that closes longer counts for all") {
  Planned planned(
      house("do \"Soap\" on day 3 { no entry for 2 h after }\n"
            "do \"Sulphur\" on day 3 { no entry for 20 h after }\n"
            "do \"Dip\" on day 3 { no entry for 4 h after }"));
  planned.add("A", 50, ready);
  const Plan& plan = planned.plan();
  for (const char* id : {"A/rooting/1/1", "A/rooting/2/1", "A/rooting/3/1"}) {
    CHECK(notes_of(plan, id) ==
          Notes{"No entry to `fog_house` until Fri 2027-05-07 12:00. Post the notice at the door; "
                "the product label may ask for longer."});
  }
}

TEST_CASE("each day of spread work is held against the closure") {
  // 1000 plants at 100 an hour by one person of 5 hours: Thursday and Friday, else Monday.
  const auto plan_of = [](const std::string& spray) {
    Planned planned(house(spray + "do \"Pot\" on day 3 within 5 days { rate 100 per hour  crew "
                                  "potters }"));
    book::Crew potters;
    potters.hours = 5 * 3600.0;
    planned.site().crews["potters"] = potters;
    planned.add("A", 1000, ready);
    return orders_of(planned.plan());
  };
  CHECK(plan_of("do \"Spray\" on day 10 { no entry for 20 h after }\n") ==
        "A/rooting/2/1 Thu 2027-05-06\nA/rooting/2/1.2 Fri 2027-05-07\nA/rooting/1/1 Thu "
        "2027-05-13\n");
  CHECK(plan_of("do \"Spray\" on day 3 { no entry for 20 h after }\n") ==
        "A/rooting/1/1 Thu 2027-05-06\nA/rooting/2/1 Thu 2027-05-06\nA/rooting/2/1.2 Mon "
        "2027-05-10\n");
  // Its first day moves behind its second.
  CHECK(plan_of("do \"Spray\" on day 2 { no entry for 20 h after }\n") ==
        "A/rooting/1/1 Wed 2027-05-05\nA/rooting/2/1 Fri 2027-05-07\nA/rooting/2/1.2 Mon "
        "2027-05-10\n");
}

TEST_CASE("a time without entry that cannot be is told for the batch") {
  Planned planned(house("do \"Spray\" on day 3 { no entry for closed after }\ndo \"Look\" daily"));
  book::Batch& batch = planned.add("A", 50, ready);
  batch.set["closed"] = quantity("70 days");
  const Plan& plan = planned.plan();
  REQUIRE_FALSE(plan.conflicts.empty());
  CHECK(plan.conflicts[0].code == "out-of-range");
  CHECK(plan.conflicts[0].message ==
        "A room stays closed for longer than nothing and at most 60 days after \"Spray\" (with "
        "the inputs of this batch: 70 days).");
}

TEST_CASE("without closures nothing moves and nothing is kept") {
  Planned planned(layering);
  planned.add("A", 100, "2027-06-11");
  const Plan& plan = planned.plan();
  CHECK(plan.closures.empty());
  for (const WorkOrder& order : plan.orders) CHECK(order.held_by == -1);
}

namespace {

/// Treatments and other work on random days in two rooms.
std::string random_protocol(std::mt19937& random, const std::string& name) {
  const auto up_to = [&](unsigned n) { return std::to_string(1 + random() % n); };
  std::string text = "protocol " + name + " { part tip\n";
  for (int s = 0; s < 3; ++s) {
    text += "stage s" + std::to_string(s) + " of tip { lasts 12 days room house_" + up_to(2) + "\n";
    for (int w = 0; w < 5; ++w) {
      const bool repeats = random() % 3 == 0;
      text += "do \"w" + std::to_string(w) + "\" ";
      text += repeats ? "every " + up_to(4) + " days"
                      : "on day " + up_to(12) + " within " + up_to(5) + " days";
      text += " {";
      if (random() % 3 == 0) text += " no entry for " + up_to(60) + " h after";
      if (random() % 3 == 0) text += " crew growers time 40 s each";
      text += " }\n";
    }
    text += "}\n";
  }
  return text + "}\n";
}

/// What `close_rooms` must bring about, looked at order by order without its tables.
struct Closed {
  const Plan& plan;

  const language::Stage& stage_of(const WorkOrder& order) const {
    return plan.protocol_of(plan.batches[order.batch]).stages[order.stage];
  }
  std::int64_t opens(const WorkOrder& order) const {
    const language::Work& work = stage_of(order).works[order.work];
    if (work.no_entry == language::no_formula) return 0;
    const double hours =
        plan.protocol_of(plan.batches[order.batch]).node(work.no_entry).value / 3600;
    return static_cast<std::int64_t>(order.date) * 24 * 60 + 16 * 60 +
           static_cast<std::int64_t>(hours * 60);
  }
  bool is_closed(const std::string& room, calendar::Day day) const {
    return std::any_of(plan.orders.begin(), plan.orders.end(), [&](const WorkOrder& other) {
      return other.date < day && stage_of(other).room == room &&
             opens(other) > static_cast<std::int64_t>(day) * 24 * 60 + 8 * 60;
    });
  }
  bool is_in_conflict(const WorkOrder& order) const {
    const std::string& id = plan.facts_of(plan.batches[order.batch]).id.value;
    const std::string start = "\"" + stage_of(order).works[order.work].title + "\" of batch " + id;
    return std::any_of(plan.conflicts.begin(), plan.conflicts.end(), [&](const Conflict& one) {
      return one.code == "no-entry" && one.message.starts_with(start) &&
             one.span.begin == stage_of(order).works[order.work].span.begin;
    });
  }
};

}  // namespace

TEST_CASE("whatever is treated when, nobody is sent into a closed room without a conflict") {
  std::mt19937 random(20270607);
  std::size_t moved = 0;
  std::size_t blocked = 0;
  for (int round = 0; round < 60; ++round) {
    Planned planned(random_protocol(random, "one") + random_protocol(random, "two"));
    book::Crew growers;
    growers.hours = 3600;
    planned.site().crews["growers"] = growers;
    planned.add("A", 120, "2027-07-01").protocol.value = "one";
    planned.add("B", 250, "2027-07-06").protocol.value = "two";
    planned.add("C", 90, "2027-07-08").protocol.value = "one";
    const Plan& plan = planned.plan();
    const Closed closed{plan};
    for (const WorkOrder& order : plan.orders) {
      const std::string& room = closed.stage_of(order).room;
      const language::Work& work = closed.stage_of(order).works[order.work];
      INFO(order_id(plan, order), " in round ", round);
      if (closed.is_closed(room, order.date)) {
        ++blocked;
        CHECK(closed.is_in_conflict(order));
      }
      CHECK(order.date >= order.due);
      if (!work.crew.empty()) CHECK(plan.book->site.working.works(order.date));
      if (order.held_by < 0 || order.parts > 1) continue;
      ++moved;
      CHECK(order.date - order.due <= work.timing.within);
      // No day that would have done was passed over.
      for (calendar::Day day = order.due; day < order.date; ++day) {
        const bool works = work.crew.empty() || plan.book->site.working.works(day);
        if (works) CHECK(closed.is_closed(room, day));
      }
    }
  }
  CHECK(moved > 100);
  CHECK(blocked > 100);
}

TEST_CASE("a treatment is not moved to a day after which the same work is kept out again") {
  const auto repairs = [](const std::string& works) {
    Planned planned(house(works));
    planned.add("A", 50, ready);
    return texts_of(planned.plan().conflicts.at(0).repairs);
  };
  const std::string spray = "do \"Spray\" on day 3 { no entry for 20 h after }\n";
  CHECK(repairs(spray + "do \"Air\" daily") ==
        Notes{"Leave \"Air\" out on this day, or move \"Spray\" of batch A to a day after which "
              "nobody has to come in."});
  // On the next of these days people can come in, or on the day after it.
  const std::string move =
      "Move \"Spray\" of batch A to Fri 2027-05-07, as the last work of that day.";
  CHECK(repairs(spray + "do \"Air\" on day 4, day 6").back() == move);
}

TEST_CASE(
    "a treatment that keeps itself out is to come less often, one in parts with more people") {
  Planned often(house("do \"Spray\" on day 3, day 4 { no entry for 40 h after }"));
  often.add("A", 50, ready);
  CHECK(often.plan().conflicts.at(0).repairs.back().text ==
        "Leave 2 days from one \"Spray\" to the next, so that the room is open again.");
  // 40 hours between them do: from 16:00 on Thursday the 6th to 08:00 on Saturday the 8th.
  CHECK(planned_orders("do \"Spray\" on day 3, day 5 { no entry for 40 h after }") ==
        "A/rooting/1/1 Thu 2027-05-06\nA/rooting/1/2 Sat 2027-05-08\n");
  Planned parts(
      house("do \"Spray\" on day 3 within 1 day { rate 5 per hour  crew growers  no entry "
            "for 40 h after }"));
  parts.add("A", 50, ready);
  parts.site().crews["growers"].people = 1;
  parts.site().crews["growers"].hours = 8 * 3600;
  CHECK(parts.plan().conflicts.at(0).repairs.back().text ==
        "Have enough people for \"Spray\" to be done in one day.");
}
