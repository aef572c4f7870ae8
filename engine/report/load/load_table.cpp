#include <algorithm>
#include <ostream>

#include "report/formats/wording.hpp"
#include "report/load/load_view.hpp"
#include "report/load/load_writers.hpp"
#include "report/needs/needs_tables.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

using calendar::Day;
using ColumnKind = Table::Kind;

constexpr std::size_t most_in_row = 4;
constexpr std::size_t most_in_sentence = 12;

/// The first of the days on which most is wanted of what is there.
template <class Amount>
Day worst_of(const DayRange& days, Amount amount) {
  Day worst = days.first;
  for (Day day = days.first; day <= days.last; ++day) {
    if (amount(day) > amount(worst)) worst = day;
  }
  return worst;
}

/// How many of the shown days are in a run of overload.
std::size_t days_too_full(const ShownRoom& room) {
  std::size_t days = 0;
  for (const plan::RoomOverload* over : room.overloads) {
    days += DayRange{std::max(over->first, room.days.first), std::min(over->last, room.days.last)}
                .size();
  }
  return days;
}

void write_rooms(std::ostream& out, const ShownLoad& shown, const Style& style) {
  Table table({{"Room", ColumnKind::entry},
               {"Holds", ColumnKind::number},
               {"Most", ColumnKind::number},
               {"Of it", ColumnKind::number},
               {"On", ColumnKind::entry},
               {"Too full", ColumnKind::number}});
  for (const ShownRoom& room : shown.rooms) {
    const plan::RoomPlace& place = room.load->place;
    const Day worst = worst_of(room.days, [&](Day day) { return room.load->taken_on(day); });
    const double most = room.days.empty() ? 0 : room.load->taken_on(worst);
    const std::size_t full = days_too_full(room);
    table.add({place.room, holds_text(place), most > 0 ? amount_text(place, most) : "empty",
               place.holds && most > 0 ? of_it_text(most, *place.holds) : "",
               most > 0 ? short_date(worst) : "", full > 0 ? counted(full, "day") : ""});
  }
  if (table.empty()) return;
  out << '\n';
  table.write(out, style, table_indent);
}

/// What a crew has on the shown days and what is wanted of it.
struct CrewSum {
  double wanted = 0;
  double there = 0;
};

CrewSum sum_of(const ShownCrew& crew, const DayRange& days) {
  CrewSum sum;
  for (Day day = days.first; day <= days.last; ++day) {
    sum.wanted += crew.wanted(day);
    sum.there += crew.there(day).value_or(0);
  }
  return sum;
}

/// The day on which a crew is wanted for the largest part of its time; of days on which nobody is
/// there that with the most work, before all others.
Day fullest_day(const ShownCrew& crew, const DayRange& days) {
  return worst_of(days, [&](Day day) {
    const double wanted = crew.wanted(day);
    if (!crew.load->known || wanted <= 0) return wanted;
    constexpr double before_all = 1e12;
    const double there = *crew.there(day);
    return there > 0 ? wanted / there : before_all + wanted;
  });
}

std::string fullest_text(const ShownCrew& crew, Day day) {
  const double wanted = crew.wanted(day);
  const auto there = crew.there(day);
  std::string text = short_date(day) + ", " + hours_text(wanted);
  if (there) text += " of " + hours_text(*there);
  return text;
}

void write_crews(std::ostream& out, const ShownLoad& shown, const Style& style) {
  Table table({{"Crew", ColumnKind::entry},
               {"Work", ColumnKind::number},
               {"There", ColumnKind::number},
               {"Of it", ColumnKind::number},
               {"Fullest day", ColumnKind::entry},
               {"Too little", ColumnKind::number}});
  for (const ShownCrew& crew : shown.crews) {
    const CrewSum sum = sum_of(crew, crew.days);
    const std::size_t shortage = crew.overloads.size();
    table.add({shown_crew(crew.load->crew), hours_text(sum.wanted),
               crew.load->known ? hours_text(sum.there) : "not told",
               crew.load->known ? of_it_text(sum.wanted, sum.there) : "",
               fullest_text(crew, fullest_day(crew, crew.days)),
               shortage > 0 ? counted(shortage, "day") : ""});
  }
  if (table.empty()) return;
  out << '\n';
  table.write(out, style, table_indent);
}

void write_heading(std::ostream& out, const std::string& text, const Style& style) {
  out << '\n';
  for (const std::string& line : wrap(text, style.width)) {
    out << inked(line, Ink::strong, style) << '\n';
  }
}

void write_room_weeks(std::ostream& out, const plan::Plan& plan, const ShownRoom& room,
                      const Style& style) {
  const plan::RoomPlace& place = room.load->place;
  Table table({{"Week", ColumnKind::entry},
               {"Most", ColumnKind::number},
               {"Of it", ColumnKind::number},
               {"On", ColumnKind::entry},
               {"Batches"}});
  for (const DayRange& week : weeks_of(room.days)) {
    const Day worst = worst_of(week, [&](Day day) { return room.load->taken_on(day); });
    const double most = room.load->taken_on(worst);
    if (most <= 0) continue;
    table.add({calendar::iso_week_text(week.first), amount_text(place, most),
               place.holds ? of_it_text(most, *place.holds) : "", short_date(worst),
               shares_text(plan, place, room_shares(*room.load, {worst, worst}), most_in_row)});
  }
  if (table.empty()) return;
  std::string heading = "Room " + place.room;
  if (place.holds) heading += ", holds " + holds_text(place);
  if (place.turnover > 0) {
    heading += ", " + calendar::days_text(place.turnover) + " from one batch to the next";
  }
  write_heading(out, heading, style);
  table.write(out, style, table_indent);
}

void write_crew_weeks(std::ostream& out, const plan::Plan& plan, const ShownCrew& crew,
                      const Style& style) {
  Table table({{"Week", ColumnKind::entry},
               {"Work", ColumnKind::number},
               {"There", ColumnKind::number},
               {"Of it", ColumnKind::number},
               {"Fullest day", ColumnKind::entry},
               {"Batches"}});
  for (const DayRange& week : weeks_of(crew.days)) {
    const CrewSum sum = sum_of(crew, week);
    if (sum.wanted <= 0) continue;
    table.add({calendar::iso_week_text(week.first), hours_text(sum.wanted),
               crew.load->known ? hours_text(sum.there) : "",
               crew.load->known ? of_it_text(sum.wanted, sum.there) : "",
               fullest_text(crew, fullest_day(crew, week)),
               names_text(plan, crew_shares(plan, *crew.load, week), most_in_row)});
  }
  if (table.empty()) return;
  write_heading(out, "Crew " + shown_crew(crew.load->crew), style);
  table.write(out, style, table_indent);
}

/// A sentence that hangs by two columns.
void write_sentence(std::ostream& out, const std::string& text, Ink ink, const Style& style) {
  const std::size_t room = style.width > 2 * table_indent ? style.width - 2 * table_indent : 1;
  std::size_t indent = table_indent;
  for (const std::string& line : wrap(text, room)) {
    out << pad_right("", indent) << inked(line, ink, style) << '\n';
    indent = 2 * table_indent;
  }
}

void write_room_overload(std::ostream& out, const plan::Plan& plan, const plan::RoomLoad& room,
                         const plan::RoomOverload& over, const Style& style) {
  const plan::RoomPlace& place = room.place;
  const bool one_day = over.first == over.last;
  std::string text = "Room " + place.room + " is too full ";
  text += one_day ? "on " + short_date(over.first)
                  : "from " + short_date(over.first) + " to " + short_date(over.last);
  text += ": it holds " + holds_text(place) + ", and " + amount_text(place, over.wanted) +
          " are wanted" + (one_day ? "" : " on " + short_date(over.worst)) + ": " +
          shares_text(plan, place, over.shares, most_in_sentence) + ".";
  write_sentence(out, text, Ink::warning, style);
  for (const plan::Repair& repair : plan::repairs_of(plan, room, over)) {
    write_sentence(out, "This would help: " + repair.text, Ink::plain, style);
  }
}

void write_crew_overload(std::ostream& out, const plan::Plan& plan, const plan::CrewLoad& crew,
                         const plan::CrewOverload& over, const Style& style) {
  const std::string there =
      over.there > 0 ? hours_text(over.there) + " are there" : "nobody of it is there";
  write_sentence(
      out,
      "Crew " + shown_crew(crew.crew) + " is short of " + hours_text(over.seconds - over.there) +
          " on " + short_date(over.day) + ": " + there + ", and " + hours_text(over.seconds) +
          " are wanted: " +
          time_shares_text(plan, crew_shares(plan, crew, {over.day, over.day}), most_in_sentence) +
          ".",
      Ink::warning, style);
}

void write_overloads(std::ostream& out, const plan::Plan& plan, const ShownLoad& shown,
                     const Style& style) {
  out << '\n';
  if (shown.fits()) {
    out << (shown.complete() ? "Everything fits.\n" : "What is counted fits.\n");
    return;
  }
  for (const ShownRoom& room : shown.rooms) {
    for (const plan::RoomOverload* over : room.overloads) {
      write_room_overload(out, plan, *room.load, *over, style);
    }
  }
  for (const ShownCrew& crew : shown.crews) {
    for (const plan::CrewOverload* over : crew.overloads) {
      write_crew_overload(out, plan, *crew.load, *over, style);
    }
  }
}

/// What a load does not know stands before what it knows.
void write_left_out(std::ostream& out, const plan::Plan& plan, const ShownLoad& shown,
                    const Style& style) {
  const std::vector<std::string> texts = left_out_texts(plan, shown);
  if (!texts.empty()) out << '\n';
  for (const std::string& text : texts) write_sentence(out, text, Ink::warning, style);
}

}  // namespace

void write_load_table(std::ostream& out, const plan::Plan& plan, const ShownLoad& shown,
                      const Style& style) {
  for (const std::string& line :
       wrap("Rooms and crews of " + plan.book->site.name.value, style.width)) {
    out << inked(line, Ink::strong, style) << '\n';
  }
  write_left_out(out, plan, shown, style);
  if (shown.days().empty()) {
    out << (shown.complete() ? "\nNothing: no batch stands anywhere, and nobody works.\n"
                             : "\nWhat is counted fits.\n");
    return;
  }
  write_rooms(out, shown, style);
  write_crews(out, shown, style);
  for (const ShownRoom& room : shown.rooms) write_room_weeks(out, plan, room, style);
  for (const ShownCrew& crew : shown.crews) write_crew_weeks(out, plan, crew, style);
  write_overloads(out, plan, shown, style);
}

}  // namespace budwood::report
