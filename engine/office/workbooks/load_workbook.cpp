#include "office/workbooks/grid.hpp"
#include "report/formats/filter.hpp"
#include "report/load/load_view.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::office {

namespace {

using calendar::Day;
using units::seconds_an_hour;

/// Where the columns stand that formulas read: the same for rooms and crews.
enum LoadColumn : std::size_t { wanted_column = 4, there_column = 5 };

std::vector<Column> load_columns(const char* what, const char* wanted, const char* there,
                                 Show amounts) {
  return {{what, Show::text, 18},      {"Date", Show::date, 11},    {"Weekday", Show::text, 11},
          {"Week", Show::text, 10},    {wanted, amounts, 11},       {there, amounts, 11},
          {"Unit", Show::text, 13},    {"Taken", Show::share, 9},   {"Still free", amounts, 11},
          {"Too much", Show::text, 8}, {"Batches", Show::prose, 50}};
}

std::string ids_of(const plan::Plan& plan, const std::vector<plan::BatchShare>& shares) {
  return report::names_text(plan, shares, shares.size());
}

/// What is left stands as a negative number where it is too much.
void write_day(Grid& grid, const std::string& name, Day day, double wanted,
               std::optional<double> there, const std::string& unit) {
  grid.text(name).date(day).text(calendar::long_name(calendar::weekday(day)));
  grid.text(calendar::iso_week_text(day)).number(wanted).number(there).text(unit);
  if (!there) {
    grid.blank().blank().text("no");
    return;
  }
  const std::string wanted_cell = grid.cell(wanted_column);
  const std::string there_cell = grid.cell(there_column);
  if (*there > 0) {
    grid.formula(wanted_cell + "/" + there_cell, wanted / *there, wanted / *there);
  } else {
    grid.blank();
  }
  grid.formula(there_cell + "-" + wanted_cell, *there - wanted, *there - wanted);
  grid.text(wanted > *there + sheet::slack(wanted, *there) ? "yes" : "no");
}

std::size_t add_rooms(WorkbookFile& file, const plan::Plan& plan, const report::ShownLoad& shown) {
  Grid& grid = file.add("Rooms", load_columns("Room", "Used", "Holds", Show::number), 2);
  std::size_t days = 0;
  for (const report::ShownRoom& room : shown.rooms) {
    const plan::RoomPlace& place = room.load->place;
    for (Day day = room.days.first; day <= room.days.last && file.ok(); ++day, ++days) {
      write_day(grid, place.room, day, place.unit.from_base(room.load->taken_on(day)),
                place.holds ? std::optional(place.unit.from_base(*place.holds)) : std::nullopt,
                place.unit.symbol);
      grid.text(ids_of(plan, report::room_shares(*room.load, {day, day}))).end_row();
    }
  }
  return days;
}

/// Days on which nobody is there and nothing is wanted are left out.
std::size_t add_crews(WorkbookFile& file, const plan::Plan& plan, const report::ShownLoad& shown) {
  Grid& grid = file.add("Crews", load_columns("Crew", "Wanted", "There", Show::hours), 2);
  std::size_t days = 0;
  for (const report::ShownCrew& crew : shown.crews) {
    for (Day day = crew.days.first; day <= crew.days.last && file.ok(); ++day) {
      const double wanted = crew.wanted(day);
      const std::optional<double> there = crew.there(day);
      if (wanted <= 0 && there.value_or(0) <= 0) continue;
      write_day(grid, report::shown_crew(crew.load->crew), day, wanted / units::seconds_an_hour,
                there ? std::optional(*there / units::seconds_an_hour) : std::nullopt,
                "person-hours");
      grid.text(ids_of(plan, report::crew_shares(plan, *crew.load, {day, day}))).end_row();
      ++days;
    }
  }
  return days;
}

/// What the load leaves out, on a sheet before all others; none where nothing is.
std::size_t add_left_out(WorkbookFile& file, const plan::Plan& plan,
                         const report::ShownLoad& shown) {
  const std::vector<std::string> texts = report::left_out_texts(plan, shown);
  if (texts.empty()) return 0;
  Grid& grid = file.add("Left out", {{"Not everything is counted", Show::prose, 100}}, 1);
  for (const std::string& text : texts) grid.text(text).end_row();
  return texts.size();
}

}  // namespace

Workbook load_workbook(const plan::Plan& plan, const plan::Load& load,
                       const report::Filter& filter) {
  const report::ShownLoad shown = report::shown_load(plan, load, filter);
  WorkbookFile file(plan);
  const std::size_t left_out = add_left_out(file, plan, shown);
  const std::size_t rooms = add_rooms(file, plan, shown);
  const std::size_t crews = add_crews(file, plan, shown);
  return file.finish(left_out + rooms + crews);
}

}  // namespace budwood::office
