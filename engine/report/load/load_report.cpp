#include "report/load/load_report.hpp"

#include <algorithm>
#include <map>
#include <ostream>

#include "report/formats/wording.hpp"
#include "report/load/load_writers.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

/// What is told of a room or crew in both plans.
struct Sums {
  const ShownRoom* room = nullptr;
  const ShownCrew* crew = nullptr;

  double most() const {
    double out = 0;
    for (calendar::Day day = room->days.first; day <= room->days.last; ++day) {
      out = std::max(out, room->load->taken_on(day));
    }
    return out;
  }
  double days_too_full() const {
    double out = 0;
    for (const plan::RoomOverload* over : room->overloads) {
      for (calendar::Day day = over->first; day <= over->last; ++day) {
        out += room->days.meets(day, day) ? 1 : 0;
      }
    }
    return out;
  }
  double seconds_short() const {
    double out = 0;
    for (const plan::CrewOverload* over : crew->overloads) out += over->seconds - over->there;
    return out;
  }
};

using Pairs = std::map<std::string, std::pair<Sums, Sums>>;

Reading some_days(double days) {
  return days > 0 ? amount_reading(days, units::counting_unit("days")) : no_reading();
}

void add_rooms(Differences& out, const ShownLoad& before, const ShownLoad& after) {
  Pairs pairs;
  for (const ShownRoom& room : before.rooms) pairs[room.load->place.room].first.room = &room;
  for (const ShownRoom& room : after.rooms) pairs[room.load->place.room].second.room = &room;
  for (const auto& [name, pair] : pairs) {
    const auto add = [&, &one = pair, &title = name](const std::string& value, auto read) {
      const auto side = [&](const Sums& sums) {
        return sums.room == nullptr ? no_reading() : read(sums);
      };
      add_difference(out, {"room", "", title, title, value, side(one.first), side(one.second)});
    };
    add("most",
        [](const Sums& sums) { return amount_reading(sums.most(), sums.room->load->place.unit); });
    add("too full", [](const Sums& sums) { return some_days(sums.days_too_full()); });
  }
}

void add_crews(Differences& out, const ShownLoad& before, const ShownLoad& after) {
  Pairs pairs;
  for (const ShownCrew& crew : before.crews) pairs[crew.load->crew].first.crew = &crew;
  for (const ShownCrew& crew : after.crews) pairs[crew.load->crew].second.crew = &crew;
  for (const auto& [name, pair] : pairs) {
    const auto add = [&, &one = pair, &crew = name](const std::string& value, auto read) {
      const auto side = [&](const Sums& sums) {
        return sums.crew == nullptr ? no_reading() : read(sums);
      };
      add_difference(
          out, {"crew", "", crew, shown_crew(crew), value, side(one.first), side(one.second)});
    };
    add("days short", [](const Sums& sums) {
      return some_days(static_cast<double>(sums.crew->overloads.size()));
    });
    add("hours short", [](const Sums& sums) {
      return sums.crew->overloads.empty() ? no_reading() : hours_reading(sums.seconds_short());
    });
  }
}

}  // namespace

bool write_load(std::ostream& out, const plan::Plan& plan, const plan::Load& load,
                const Filter& filter, Format format, const Style& style) {
  const ShownLoad shown = shown_load(plan, load, filter);
  switch (format) {
    case Format::table:
      write_load_table(out, plan, shown, style);
      break;
    case Format::csv:
      write_load_csv(out, plan, shown);
      break;
    case Format::json:
      write_load_json(out, plan, shown);
      break;
  }
  return shown.fits();
}

bool write_load_differences(std::ostream& out, const Comparison& both, const plan::Load& before,
                            const plan::Load& after, const Filter& filter, Format format,
                            const Style& style) {
  const ShownLoad was = shown_load(both.before, before, filter);
  const ShownLoad is = shown_load(both.after, after, filter);
  Differences rows;
  add_rooms(rows, was, is);
  add_crews(rows, was, is);
  if (format == Format::table) {
    write_changes_head(out, both, style);
    write_differences_table(out, only_about(rows, "room"), "Room", style);
    write_differences_table(out, only_about(rows, "crew"), "Crew", style);
    if (rows.empty()) out << "\nNothing changes for rooms and crews.\n";
  } else {
    Differences all = change_rows(both);
    all.insert(all.end(), rows.begin(), rows.end());
    if (format == Format::csv) {
      write_differences_csv(out, all);
    } else {
      write_differences_json(out, both.before.book->site.name.value, all);
    }
  }
  return is.fits();
}

}  // namespace budwood::report
