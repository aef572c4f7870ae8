#include "report/formats/csv.hpp"
#include "report/formats/wording.hpp"
#include "report/load/load_writers.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

using calendar::Day;

std::string ids_of(const plan::Plan& plan, const std::vector<plan::BatchShare>& shares) {
  std::vector<std::string> ids;
  for (const plan::BatchShare& share : shares) ids.push_back(batch_id(plan, share.batch));
  return joined(ids, "; ");
}

void write_amounts(Csv& csv, double wanted, std::optional<double> there, const std::string& unit) {
  csv.number(wanted);
  if (there) {
    csv.number(*there).text(unit);
    if (*there > 0) {
      csv.number(100 * wanted / *there);
    } else {
      csv.text("");
    }
    csv.text(wanted > *there + sheet::slack(wanted, *there) ? "yes" : "no");
  } else {
    csv.text("").text(unit).text("").text("no");
  }
}

void write_room(Csv& csv, const plan::Plan& plan, const ShownRoom& room) {
  const plan::RoomPlace& place = room.load->place;
  const units::Unit& unit = place.unit;
  for (Day day = room.days.first; day <= room.days.last; ++day) {
    csv.text("room").text(place.room).text(calendar::iso_date(day));
    csv.text(calendar::iso_week_text(day));
    write_amounts(csv, unit.from_base(room.load->taken_on(day)),
                  place.holds ? std::optional(unit.from_base(*place.holds)) : std::nullopt,
                  unit.symbol);
    csv.text(ids_of(plan, room_shares(*room.load, {day, day}))).end_row();
  }
}

/// What the load of a room leaves out, from its first day there on.
void write_left_out(Csv& csv, const plan::Plan& plan, const LeftOut& one) {
  csv.text("not counted").text(one.room->place.room).text(calendar::iso_date(one.days.first));
  csv.text(calendar::iso_week_text(one.days.first)).number(one.plants).text("").text("plants");
  csv.text("").text("").text(batch_id(plan, one.batch)).end_row();
}

/// Days on which nobody is there and nothing is wanted are left out.
void write_crew(Csv& csv, const plan::Plan& plan, const ShownCrew& crew) {
  for (Day day = crew.days.first; day <= crew.days.last; ++day) {
    const double wanted = crew.wanted(day);
    const std::optional<double> there = crew.there(day);
    if (wanted <= 0 && there.value_or(0) <= 0) continue;
    csv.text("crew").text(crew.load->crew).text(calendar::iso_date(day));
    csv.text(calendar::iso_week_text(day));
    write_amounts(csv, wanted / units::seconds_an_hour,
                  there ? std::optional(*there / units::seconds_an_hour) : std::nullopt,
                  "person-hours");
    csv.text(ids_of(plan, crew_shares(plan, *crew.load, {day, day}))).end_row();
  }
}

}  // namespace

void write_load_csv(std::ostream& out, const plan::Plan& plan, const ShownLoad& shown) {
  Csv csv(out);
  for (const char* head :
       {"kind", "name", "date", "week", "wanted", "there", "unit", "percent", "over", "batches"}) {
    csv.text(head);
  }
  csv.end_row();
  for (const LeftOut& one : shown.left_out) write_left_out(csv, plan, one);
  for (const ShownRoom& room : shown.rooms) write_room(csv, plan, room);
  for (const ShownCrew& crew : shown.crews) write_crew(csv, plan, crew);
}

}  // namespace budwood::report
