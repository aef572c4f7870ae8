#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "loaded.hpp"
#include "plan/rooms/load.hpp"
#include "report/load/load_report.hpp"

using namespace budwood;
using namespace budwood::report;
using budwood::report::test::lines_of;
using nlohmann::json;

namespace {

using test::plugs;

class Loaded : public report::test::Loaded {
 public:
  std::string written(Format format, const Filter& filter = {}) {
    std::ostringstream out;
    fits_ = write_load(out, plan(), plan::load_of(plan()), filter, format);
    return out.str();
  }
  bool fits() const { return fits_; }

 private:
  bool fits_ = true;
};

}  // namespace

TEST_CASE("the load as a table: all, week by week, and what is too much in sentences") {
  Loaded loaded;
  CHECK(loaded.written(Format::table) ==
        R"(Rooms and crews of Mill Bank

  Not judged: room `bench`, of which site.yaml does not say how much it holds (`holds:`, perhaps
    `holds: no limit`).

  Room        Holds        Most  Of it  On              Too full
  bench    not told  500 plants         Tue 2027-05-04
  chamber   7 trays    10 trays  143 %  Fri 2027-04-30    2 days

  Crew      Work  There  Of it  Fullest day                     Too little
  potters  5.0 h  6.0 h   83 %  Mon 2027-05-10, 3.0 h of 2.0 h       1 day

Room bench
  Week            Most  Of it  On              Batches
  2027-W17  200 plants         Fri 2027-04-30  A 200 plants
  2027-W18  500 plants         Tue 2027-05-04  A 200 plants, B 300 plants
  2027-W19  300 plants         Mon 2027-05-10  B 300 plants

Room chamber, holds 7 trays, 2 days from one batch to the next
  Week          Most  Of it  On              Batches
  2027-W17  10 trays  143 %  Fri 2027-04-30  A 4 trays, B 6 trays
  2027-W18   6 trays   86 %  Mon 2027-05-03  B 6 trays

Crew potters
  Week       Work  There  Of it  Fullest day                     Batches
  2027-W18  2.0 h  4.0 h   50 %  Thu 2027-05-06, 2.0 h of 2.0 h  A
  2027-W19  3.0 h  2.0 h  150 %  Mon 2027-05-10, 3.0 h of 2.0 h  B

  Room chamber is too full from Fri 2027-04-30 to Sat 2027-05-01: it holds 7 trays, and 10 trays
    are wanted on Fri 2027-04-30: A 4 trays, B 6 trays.
  This would help: Have `B` ready 2 days later.
  This would help: Have `B` ready 10 days earlier.
  This would help: Find room for 3 trays more: `holds: 10 trays` for `chamber` in site.yaml.
  Crew potters is short of 1.0 h on Mon 2027-05-10: 2.0 h are there, and 3.0 h are wanted: B 3.0
    h.
)");
  CHECK_FALSE(loaded.fits());
}

TEST_CASE("the filter chooses rooms, crews, days and what a batch uses") {
  Loaded loaded;
  Filter filter;
  filter.room = "bench";
  std::string text = loaded.written(Format::table, filter);
  CHECK(loaded.fits());
  CHECK(text.find("chamber") == std::string::npos);
  CHECK(text.find("potters") == std::string::npos);
  CHECK(text.find("What is counted fits.") != std::string::npos);
  CHECK(text.find("Everything fits.") == std::string::npos);
  filter = {};
  filter.crew = "potters";
  text = loaded.written(Format::table, filter);
  CHECK_FALSE(loaded.fits());
  CHECK(text.find("bench") == std::string::npos);
  filter = {};
  filter.to = *calendar::parse_iso_date("2027-04-28");
  const json days = json::parse(loaded.written(Format::json, filter));
  CHECK(loaded.fits());
  CHECK(days["rooms"][1]["days"].size() == 3);
  CHECK(days["crews"].empty());
  filter = {};
  filter.batch = "A";
  // 1 May is the last day of A's space in the chamber; what is too much there begins on 30 April.
  const json of_a = json::parse(loaded.written(Format::json, filter));
  CHECK(of_a["rooms"][1]["days"].back()["date"] == "2027-05-01");
  CHECK(of_a["rooms"][1]["overloads"].size() == 1);
  CHECK(of_a["crews"][0]["days"].size() == 1);
}

TEST_CASE("what a load leaves out stands first, in every format, and then not everything fits") {
  Loaded loaded;
  loaded.book().site.rooms["chamber"].holds = loaded.book().site.rooms["bench"].holds;
  loaded.book().site.rooms["chamber"].unlimited = true;
  loaded.book().site.rooms["bench"].holds.emplace();
  loaded.book().site.rooms["bench"].holds->quantity = *units::parse_quantity("20 m2");
  Filter rooms;
  rooms.room = "bench";
  const std::string table = loaded.written(Format::table, rooms);
  CHECK(table.find(
            "Rooms and crews of Mill Bank\n\n  Not counted in room `bench`: 500 plants in") == 0);
  CHECK(table.find("because `space` does not say it in m2.") != std::string::npos);
  CHECK(table.find("What is counted fits.") != std::string::npos);
  const json load = json::parse(loaded.written(Format::json, rooms));
  CHECK(load["fits"] == true);
  CHECK(load["complete"] == false);
  CHECK(load["not_judged"].empty());
  REQUIRE(load["not_counted"].size() == 2);
  CHECK(load["not_counted"][0]["batch"] == "A");
  CHECK(load["not_counted"][0]["plants"] == 200);
  CHECK(load["not_counted"][0]["from"] == "2027-04-30");
  CHECK(lines_of(loaded.written(Format::csv, rooms))[1] ==
        "not counted,bench,2027-04-30,2027-W17,200,,plants,,,A\r");
  rooms.room = "chamber";
  CHECK(loaded.written(Format::table, rooms).find("Everything fits.") != std::string::npos);
  CHECK(json::parse(loaded.written(Format::json, rooms))["complete"] == true);
}

TEST_CASE("the load as CSV: a row for each room or crew and day") {
  Loaded loaded;
  const std::vector<std::string> lines = lines_of(loaded.written(Format::csv));
  CHECK(lines[0] == "kind,name,date,week,wanted,there,unit,percent,over,batches\r");
  const auto has = [&](const std::string& line) {
    return std::find(lines.begin(), lines.end(), line + "\r") != lines.end();
  };
  CHECK(has("room,bench,2027-05-04,2027-W18,500,,plants,,no,A; B"));
  CHECK(has("room,chamber,2027-04-26,2027-W17,4,7,trays,57.1428571429,no,A"));
  CHECK(has("room,chamber,2027-04-30,2027-W17,10,7,trays,142.857142857,yes,A; B"));
  CHECK(has("crew,potters,2027-05-06,2027-W18,2,2,person-hours,100,no,A"));
  CHECK(has("crew,potters,2027-05-07,2027-W18,0,2,person-hours,0,no,"));
}

TEST_CASE("the load as JSON: stays, days, overloads with batches, orders and what would help") {
  Loaded loaded;
  const json load = json::parse(loaded.written(Format::json));
  CHECK(load["site"] == "Mill Bank");
  CHECK(load["fits"] == false);
  CHECK(load["complete"] == false);
  CHECK(load["not_judged"] == json{"bench"});
  const json& chamber = load["rooms"][1];
  CHECK(chamber["room"] == "chamber");
  CHECK(chamber["holds"] == 7);
  CHECK(chamber["turnover_days"] == 2);
  CHECK(chamber["stays"][0] == json{{"batch", "A"},
                                    {"stage", "germinate"},
                                    {"from", "2027-04-26"},
                                    {"left", "2027-04-30"},
                                    {"free", "2027-05-02"},
                                    {"amount", 4}});
  REQUIRE(chamber["overloads"].size() == 1);
  const json& over = chamber["overloads"][0];
  CHECK(over["from"] == "2027-04-30");
  CHECK(over["to"] == "2027-05-01");
  CHECK(over["wanted"] == 10);
  CHECK(over["shares"][1] == json{{"batch", "B"}, {"amount", 6}});
  REQUIRE(over["repairs"].size() >= 1);
  CHECK(over["repairs"].back()["text"].get<std::string>().find("Find room for") == 0);
  CHECK(over["repairs"].back()["change"].is_null());
  CHECK(load["rooms"][0]["holds"].is_null());
  const json& crew = load["crews"][0]["overloads"][0];
  CHECK(crew["date"] == "2027-05-10");
  CHECK(crew["orders"][0]["id"] == "B/grow/1/1");
  CHECK(crew["orders"][0]["person_hours"] == 3);
}

TEST_CASE("a book without batches has no load") {
  report::test::SamplePlan sample(plugs);
  std::ostringstream table;
  CHECK(write_load(table, sample.plan(), plan::load_of(sample.plan()), {}, Format::table));
  CHECK(table.str() ==
        "Rooms and crews of Mill Bank\n\nNothing: no batch stands anywhere, and nobody works.\n");
}
