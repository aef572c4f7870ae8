#include "pictures/load/load_picture.hpp"

#include <algorithm>
#include <cmath>

#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::pictures {

namespace {

using calendar::Day;

constexpr std::size_t most_bands = 400;  ///< in one lane
constexpr double crew_height = 64;
constexpr double least_height = 72;
constexpr double most_height = 460;
constexpr double line_of_text = 12;  ///< pixels that a band with a name needs
constexpr double load_widest_day = 14;
constexpr double load_narrowest_day = 2;
constexpr double load_usual_width = 1080;  ///< of all days

class Builder {
 public:
  Builder(const plan::Plan& plan, const report::ShownLoad& shown, const drawing::DayRange& days,
          double day_width)
      : plan_(plan), shown_(shown) {
    out_.title = "Rooms and crews of " + plan.book->site.name.value;
    out_.days = days;
    out_.day_width = day_width;
  }

  LoadPicture run() {
    for (const report::ShownRoom& room : shown_.rooms) add_room(room);
    for (const report::ShownCrew& crew : shown_.crews) add_crew(crew);
    return std::move(out_);
  }

 private:
  std::size_t place(Day day) const { return static_cast<std::size_t>(day - out_.days.first); }

  void add_room(const report::ShownRoom& room) {
    const plan::RoomLoad& load = *room.load;
    Lane lane;
    lane.title = load.place.room;
    lane.total.assign(out_.days.size(), 0);
    Day worst = room.days.first;
    for (Day day = room.days.first; day <= room.days.last; ++day) {
      lane.total[place(day)] = load.taken_on(day);
      if (load.taken_on(day) > load.taken_on(worst)) worst = day;
    }
    const double most = room.days.empty() ? 0 : load.taken_on(worst);
    if (most <= 0) return;
    lane.lines.push_back(load.place.holds       ? "holds " + report::holds_text(load.place)
                         : load.place.unlimited ? "has no limit"
                                                : "no limit is told");
    lane.lines.push_back("most " + report::amount_text(load.place, most));
    lane.lines.push_back("on " + report::short_date(worst));
    if (load.place.holds) lane.limit.assign(out_.days.size(), *load.place.holds);
    add_bands(room, lane);
    lane.top = headroom * std::max(most, load.place.holds.value_or(0));
    lane.unit = load.place.unit.factor;
    lane.height = height_for(lane);
    out_.lanes.push_back(std::move(lane));
  }

  /// Whoever came first stands lowest; who leaves makes those above sink.
  void add_bands(const report::ShownRoom& room, Lane& lane) const {
    std::vector<const plan::Stay*> stays;
    for (const plan::Stay& stay : room.load->stays) {
      if (stay.amount > 0 && stay.free > stay.first && room.days.meets(stay.first, stay.free - 1)) {
        stays.push_back(&stay);
      }
    }
    lane.too_many = stays.size() > most_bands;
    if (lane.too_many) return;
    Levels filled(out_.days.size(), 0);
    for (const plan::Stay* stay : stays) {
      Band band;
      const Day first = std::max(stay->first, room.days.first);
      const Day last = std::min(stay->free - 1, room.days.last);
      band.name = report::batch_id(plan_, stay->batch);
      band.title = title_of(room, *stay);
      band.first = place(first);
      band.cleaned = static_cast<std::size_t>(std::max(0, last + 1 - std::max(first, stay->left)));
      for (Day day = first; day <= last; ++day) {
        double& level = filled[place(day)];
        band.low.push_back(level);
        level += stay->amount;
        band.high.push_back(level);
      }
      lane.bands.push_back(std::move(band));
    }
  }

  std::string title_of(const report::ShownRoom& room, const plan::Stay& stay) const {
    const language::Stage& stage = plan_.protocol_of(plan_.batches[stay.batch]).stages[stay.stage];
    std::string text = report::batch_id(plan_, stay.batch) + ", " + report::shown_name(stage) +
                       ", " + report::amount_text(room.load->place, stay.amount) + ", " +
                       report::short_date(stay.first) + " to " + report::short_date(stay.free - 1);
    if (stay.free > stay.left) text += ", from " + report::short_date(stay.left) + " for cleaning";
    return text;
  }

  void add_crew(const report::ShownCrew& crew) {
    Lane lane;
    lane.title = report::shown_crew(crew.load->crew);
    lane.bars = true;
    lane.total.assign(out_.days.size(), 0);
    double top = 0;
    if (const auto facts = plan_.book->site.crews.find(crew.load->crew); crew.load->known) {
      for (Day day = out_.days.first; day <= out_.days.last; ++day) {
        lane.limit.push_back(facts->second.person_seconds(day, plan_.book->site.working));
      }
      top = *std::max_element(lane.limit.begin(), lane.limit.end());
    }
    double sum = 0;
    double there = 0;
    for (Day day = crew.days.first; day <= crew.days.last; ++day) {
      lane.total[place(day)] = crew.wanted(day);
      top = std::max(top, crew.wanted(day));
      sum += crew.wanted(day);
      there += crew.there(day).value_or(0);
    }
    if (sum <= 0) return;
    lane.lines.push_back(report::hours_text(sum) + " of work");
    lane.lines.push_back(crew.load->known ? report::hours_text(there) + " are there"
                                          : "no hours are told");
    if (!crew.overloads.empty()) {
      lane.lines.push_back("too little on " + report::counted(crew.overloads.size(), "day"));
    }
    lane.top = headroom * top;
    lane.unit = units::seconds_an_hour;
    lane.unit_name = " h";
    lane.height = crew_height;
    out_.lanes.push_back(std::move(lane));
  }

  /// So high that most bands have room for a name, but not much higher than what stands on each
  /// other needs.
  static double height_for(const Lane& lane) {
    if (lane.bands.empty()) return 2 * least_height;
    Levels amounts;
    std::vector<std::size_t> together(lane.total.size(), 0);
    for (const Band& band : lane.bands) {
      amounts.push_back(band.high.front() - band.low.front());
      for (std::size_t i = 0; i < band.low.size(); ++i) ++together[band.first + i];
    }
    const auto small = amounts.begin() + static_cast<std::ptrdiff_t>(amounts.size() / 4);
    std::nth_element(amounts.begin(), small, amounts.end());
    const auto most = static_cast<double>(*std::max_element(together.begin(), together.end()));
    const double wanted = std::min(line_of_text * lane.top / *small, least_height + 24 * most);
    return std::clamp(wanted, least_height, most_height);
  }

  static constexpr double headroom = 1.08;  ///< a little space over the highest

  const plan::Plan& plan_;
  const report::ShownLoad& shown_;
  LoadPicture out_;
};

}  // namespace

LoadPicture load_picture(const plan::Plan& plan, const report::ShownLoad& shown) {
  const drawing::DayRange days = shown.days();
  const double count = std::max<double>(1, static_cast<double>(days.size()));
  return load_picture(plan, shown, days,
                      std::clamp(load_usual_width / count, load_narrowest_day, load_widest_day));
}

LoadPicture load_picture(const plan::Plan& plan, const report::ShownLoad& shown,
                         const drawing::DayRange& days, double day_width) {
  return Builder(plan, shown, days, day_width).run();
}

}  // namespace budwood::pictures
