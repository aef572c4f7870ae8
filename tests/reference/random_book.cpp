#include "random_book.hpp"

#include <algorithm>
#include <random>

namespace budwood::reference {

namespace {

constexpr Day middle = 20'900;  // 2027-03-23
constexpr Day series_first = middle - 3 * 366;
constexpr Day series_last = middle + 3 * 366;

/// Draws that are the same on every machine.
class Draw {
 public:
  explicit Draw(std::uint32_t seed) : engine_(seed) {}
  int between(int low, int high) {
    return low + static_cast<int>(engine_() % static_cast<std::uint32_t>(high - low + 1));
  }
  bool chance(int percent) { return between(1, 100) <= percent; }

 private:
  std::mt19937 engine_;
};

std::string days(int n) {
  return std::to_string(n) + (n == 1 || n == -1 ? " day" : " days");
}

class Maker {
 public:
  explicit Maker(std::uint32_t seed) : draw_(seed) {}

  Book run() {
    const int shape = draw_.between(0, 9);
    const int chains = shape < 5 ? 1 : 3;
    book_.parts = chains;
    std::vector<int> ends;
    for (int part = 0; part < chains; ++part) {
      const int count = chains == 1 ? draw_.between(1, 4) : draw_.between(1, 2);
      for (int i = 0; i < count; ++i) {
        Stage stage;
        stage.part = part;
        if (i > 0) stage.takes = {last()};
        if (i == 0 && part == 2) stage.takes = {ends[0], ends[1]};
        fill_stage(stage);
        book_.stages.push_back(std::move(stage));
      }
      ends.push_back(last());
    }
    set_calendar();
    set_dates();
    return book_;
  }

 private:
  int last() const { return static_cast<int>(book_.stages.size()) - 1; }

  void fill_stage(Stage& stage) {
    set_length(stage);
    if (draw_.chance(12)) stage.wait = Stage::Wait::none;
    if (draw_.chance(30)) {
      stage.wait = Stage::Wait::stated;
      stage.longest_wait = draw_.between(0, 12);
    }
    stage.room = draw_.chance(80) ? 0 : draw_.between(1, 2);
    if (draw_.chance(12)) set_season(stage);
    if (!book_.stages.empty() && draw_.chance(15)) set_after(stage);
    if (!book_.stages.empty() && draw_.chance(8)) set_within(stage);
    for (int i = draw_.between(0, 2); i > 0; --i) add_work(stage);
  }

  void set_length(Stage& stage) {
    if (draw_.chance(15)) {
      stage.by_heat = true;
      stage.usual = draw_.between(5, 80);
      stage.shortest = draw_.chance(50) ? stage.usual : draw_.between(1, stage.usual);
      stage.longest = draw_.chance(50) ? stage.usual : stage.usual + draw_.between(0, 40);
      if (draw_.chance(4)) stage.shortest = stage.usual = stage.longest = 90'000;
    } else if (draw_.chance(10)) {
      stage.shortest = stage.usual = stage.longest = 0;
    } else {
      stage.usual = draw_.between(1, 9);
      const bool range = draw_.chance(45);
      stage.shortest = range ? std::max(1, stage.usual - draw_.between(0, 3)) : stage.usual;
      stage.longest = range ? stage.usual + draw_.between(0, 4) : stage.usual;
    }
  }

  void set_season(Stage& stage) {
    const calendar::Date first = calendar::date_of(middle + draw_.between(-70, 50));
    const calendar::Date last = calendar::date_of(*calendar::day_of(first) + draw_.between(0, 60));
    stage.season = YearSpan{{first.month, first.day}, {last.month, last.day}};
  }

  /// Of the same part, only the stage that gives the plants may be named.
  void set_after(Stage& stage) {
    After after;
    after.stage = draw_.between(0, last());
    const bool gives =
        std::find(stage.takes.begin(), stage.takes.end(), after.stage) != stage.takes.end();
    if (!gives && book_.stages[static_cast<std::size_t>(after.stage)].part == stage.part) return;
    if (gives || draw_.chance(60)) {
      after.low = draw_.between(0, 4);
      after.high = *after.low + draw_.between(0, 6);
    }
    stage.after = after;
  }

  void set_within(Stage& stage) {
    Within within;
    within.stage = draw_.between(0, last());
    within.of_end = draw_.chance(30);
    within.low = draw_.between(-10, 14);
    within.high = within.low + draw_.between(0, 8);
    stage.within = within;
  }

  void add_work(Stage& stage) {
    Work work;
    const int most = stage.by_heat ? 6 : std::max(1, stage.usual);
    if (draw_.chance(25)) {
      work.when = Work::When::last_day;
    } else if (draw_.chance(30)) {
      work.when = Work::When::every;
      work.interval = draw_.between(1, 5);
      work.days = {draw_.between(1, most)};
    } else {
      work.days = {draw_.between(1, most)};
      if (draw_.chance(20) && work.days[0] < most) {
        work.days.push_back(draw_.between(work.days[0] + 1, most));
      }
    }
    work.look = draw_.chance(25);
    work.crew = draw_.chance(85);
    if (draw_.chance(50)) {
      work.within = draw_.between(0, 3);
      if (work.when == Work::When::every) {
        work.within = std::min(*work.within, work.interval - 1);
      }
    }
    if (work.days.size() == 1 && work.when == Work::When::days && draw_.chance(25)) {
      work.when = Work::When::between;
      work.within.reset();
      if (draw_.chance(70)) work.to = draw_.between(work.days[0], most + 2);
    }
    work.overnight = work.when == Work::When::days && draw_.chance(20);
    set_order(stage, work);
    stage.works.push_back(work);
  }

  /// After the work before it, where their days allow that.
  void set_order(const Stage& stage, Work& work) {
    if (stage.works.empty() || !draw_.chance(40)) return;
    const Work& before = stage.works.back();
    const bool late = work.when == Work::When::last_day;
    if (before.when == Work::When::last_day) {
      if (late && !before.overnight) work.after = static_cast<int>(stage.works.size()) - 1;
      return;
    }
    if (late || work.days[0] > before.days[0] ||
        (work.days[0] == before.days[0] && !before.overnight)) {
      work.after = static_cast<int>(stage.works.size()) - 1;
    }
  }

  void set_calendar() {
    book_.weekdays = 0;
    for (int i = 0; i < 7; ++i) {
      if (draw_.chance(i < 5 ? 85 : 20)) {
        book_.weekdays = static_cast<std::uint8_t>(book_.weekdays | 1U << i);
      }
    }
    if (book_.weekdays == 0) book_.weekdays = 0x02;
    if (!draw_.chance(50)) return;
    for (Day day = middle - 90; day < middle + 90; ++day) {
      if (draw_.chance(10)) book_.closed.insert(day);
    }
  }

  void set_dates() {
    book_.day = middle + draw_.between(-20, 20);
    const int kind = draw_.between(0, 9);
    if (kind >= 5) book_.date = kind < 8 ? Book::Date::start : Book::Date::not_before;
    if (!draw_.chance(22)) return;
    const bool recorded = draw_.chance(40);
    for (int i = draw_.between(1, 2); i > 0; --i) {
      Pin pin;
      pin.stage = draw_.between(0, last());
      pin.end = draw_.chance(35);
      pin.day = book_.day +
                (book_.date == Book::Date::ready ? -draw_.between(0, 25) : draw_.between(-1, 25));
      pin.recorded = recorded && draw_.chance(80);
      const bool taken = std::any_of(book_.pins.begin(), book_.pins.end(), [&](const Pin& other) {
        return other.stage == pin.stage && other.end == pin.end;
      });
      if (!taken) book_.pins.push_back(pin);
    }
  }

  Draw draw_;
  Book book_;
};

std::string number_range(int low, int high, const char* unit) {
  if (low == high) return std::to_string(low) + " " + unit;
  return std::to_string(low) + " to " + std::to_string(high) + " " + unit;
}

std::string length_text(const Stage& stage) {
  if (!stage.by_heat) {
    if (stage.usual == 0) return "lasts 3 hours";
    std::string out = "lasts " + number_range(stage.shortest, stage.longest, "days");
    return stage.shortest == stage.longest ? out : out + " usually " + days(stage.usual);
  }
  std::string out = "lasts " + number_range(stage.shortest, stage.longest, "degree_days");
  if (stage.shortest != stage.longest) {
    out += " usually " + std::to_string(stage.usual) + " degree_days";
  }
  return out + " above 5 degC by average_limited_after";
}

/// The works of a stage are numbered from `first` on.
std::string work_text(const Work& work, int number, int first) {
  std::string out = "    do \"W" + std::to_string(number) + "\" ";
  switch (work.when) {
    case Work::When::last_day:
      out += "on last day";
      break;
    case Work::When::every:
      out += "every " + days(work.interval) + " from day " + std::to_string(work.days[0]);
      break;
    case Work::When::between:
      out += "between day " + std::to_string(work.days[0]) + " and " +
             (work.to == 0 ? "last day" : "day " + std::to_string(work.to));
      break;
    case Work::When::days:
      for (std::size_t i = 0; i < work.days.size(); ++i) {
        out += (i == 0 ? "on day " : ", day ") + std::to_string(work.days[i]);
      }
      break;
  }
  if (work.within) out += " within " + days(*work.within);
  if (work.after) out += " after \"W" + std::to_string(first + *work.after) + "\"";
  if (work.overnight) out += " overnight";
  out += " { time 10 min ";
  if (work.crew) out += " crew all";
  out += work.look ? " record seen" + std::to_string(number) + " in plants" : " tagged labelling";
  return out + " }\n";
}

std::string year_day_text(const calendar::YearDay& day) {
  return calendar::describe(day);
}

}  // namespace

const climate::DailySeries& temperatures() {
  static const climate::DailySeries series = [] {
    std::vector<climate::SeriesRow> rows;
    constexpr double zero = 273.15;
    Draw draw(77);
    for (Day day = series_first; day <= series_last; ++day) {
      // Mild winters: warm enough on most days, cold spells now and then.
      const int mean = (day / 11) % 5 == 0 ? draw.between(-2, 5) : draw.between(4, 14);
      rows.push_back({day, {zero + mean - 3, zero + mean + 3}});
    }
    return *climate::DailySeries::from_rows(rows);
  }();
  return series;
}

std::optional<Day> end_of_heat(Day start, int degree_days) {
  static const std::vector<int> sums = [] {
    std::vector<int> out = {0};
    for (const climate::DayTemperature& day : temperatures().temperatures()) {
      const double mean = (day.minimum + day.maximum) / 2 - 273.15;
      out.push_back(out.back() + std::max(0, static_cast<int>(mean + 100.5) - 100 - 5));
    }
    return out;
  }();
  if (start < series_first || start > series_last) return std::nullopt;
  const auto from = sums.begin() + (start - series_first);
  const auto end = std::lower_bound(from, sums.end(), *from + degree_days);
  return end == sums.end() ? std::nullopt : std::optional(start + static_cast<Day>(end - from));
}

Book random_book(std::uint32_t seed) {
  return Maker(seed).run();
}

std::vector<Book> simpler(const Book& book) {
  std::vector<Book> out;
  const auto with = [&](auto change) {
    Book one = book;
    change(one);
    out.push_back(std::move(one));
  };
  for (std::size_t i = 0; i < book.pins.size(); ++i) {
    with([&](Book& one) { one.pins.erase(one.pins.begin() + static_cast<std::ptrdiff_t>(i)); });
  }
  if (!book.closed.empty()) {
    with([](Book& one) { one.closed.clear(); });
    for (const Day day : book.closed) {
      with([&](Book& one) { one.closed.erase(day); });
    }
  }
  if (book.weekdays != 0x7F) with([](Book& one) { one.weekdays = 0x7F; });
  if (book.weekdays != 0x7F && book.weekdays != 0x1F) {
    with([](Book& one) { one.weekdays = 0x1F; });
  }
  for (std::size_t s = 0; s < book.stages.size(); ++s) {
    const Stage& stage = book.stages[s];
    for (std::size_t w = 0; w < stage.works.size(); ++w) {
      with([&](Book& one) {
        auto& works = one.stages[s].works;
        works.erase(works.begin() + static_cast<std::ptrdiff_t>(w));
        for (Work& other : works) {
          if (other.after == static_cast<int>(w)) other.after.reset();
          if (other.after && *other.after > static_cast<int>(w)) --*other.after;
        }
      });
      if (stage.works[w].after) with([&](Book& one) { one.stages[s].works[w].after.reset(); });
      if (stage.works[w].overnight) {
        with([&](Book& one) { one.stages[s].works[w].overnight = false; });
      }
      if (stage.works[w].within) with([&](Book& one) { one.stages[s].works[w].within.reset(); });
    }
    if (stage.season) with([&](Book& one) { one.stages[s].season.reset(); });
    if (stage.after) with([&](Book& one) { one.stages[s].after.reset(); });
    if (stage.within) with([&](Book& one) { one.stages[s].within.reset(); });
    if (stage.room != 0) with([&](Book& one) { one.stages[s].room = 0; });
    if (stage.wait != Stage::Wait::to_working_day) {
      with([&](Book& one) { one.stages[s].wait = Stage::Wait::to_working_day; });
    }
    if (stage.shortest != stage.longest) {
      with([&](Book& one) {
        Stage& changed = one.stages[s];
        changed.shortest = changed.longest = changed.usual;
      });
    }
    if (stage.by_heat) {
      with([&](Book& one) {
        Stage& changed = one.stages[s];
        changed.by_heat = false;
        changed.shortest = changed.usual = changed.longest = 6;
      });
    }
  }
  // The first stage of a single part, when nothing names it or what follows.
  if (book.parts == 1 && book.stages.size() > 1 && book.pins.empty()) {
    const bool named = std::any_of(book.stages.begin(), book.stages.end(),
                                   [](const Stage& one) { return one.after || one.within; });
    if (!named) {
      with([](Book& one) {
        one.stages.erase(one.stages.begin());
        for (std::size_t s = 0; s < one.stages.size(); ++s) {
          one.stages[s].takes.clear();
          if (s > 0) one.stages[s].takes = {static_cast<int>(s) - 1};
        }
      });
      with([](Book& one) { one.stages.pop_back(); });
    }
  }
  return out;
}

std::string protocol_text(const Book& book) {
  std::string out = "protocol sample {\n";
  for (int part = 0; part < book.parts; ++part) out += "  part p" + std::to_string(part) + "\n";
  int works = 0;
  for (std::size_t s = 0; s < book.stages.size(); ++s) {
    const Stage& stage = book.stages[s];
    const std::string part = "p" + std::to_string(stage.part);
    out += "  stage s" + std::to_string(s);
    out += stage.takes.size() == 2 ? " joins p0 with p1 into " + part : " of " + part;
    out += " {\n    " + length_text(stage) + "\n    room r" + std::to_string(stage.room) + "\n";
    if (stage.season) {
      out += "    season " + year_day_text(stage.season->first) + " to " +
             year_day_text(stage.season->last) + "\n";
    }
    if (stage.wait == Stage::Wait::none) out += "    no wait\n";
    if (stage.wait == Stage::Wait::stated) out += "    may wait " + days(stage.longest_wait) + "\n";
    if (stage.after) {
      out += "    after s" + std::to_string(stage.after->stage);
      if (stage.after->low)
        out += " by " + number_range(*stage.after->low, *stage.after->high, "days");
      out += "\n";
    }
    if (stage.within) {
      out += "    starts within " + number_range(stage.within->low, stage.within->high, "days") +
             " of s" + std::to_string(stage.within->stage) +
             (stage.within->of_end ? ".end" : ".start") + "\n";
    }
    const int first = works + 1;
    for (const Work& work : stage.works) out += work_text(work, ++works, first);
    out += "  }\n";
  }
  return out + "}\n";
}

std::string describe(const Book& book) {
  std::string out = protocol_text(book) + "days:";
  for (int i = 0; i < 7; ++i) {
    if ((book.weekdays >> i & 1U) != 0) {
      out += " " + std::string(calendar::short_name(static_cast<calendar::Weekday>(i)));
    }
  }
  out += "\nclosed:";
  for (const Day day : book.closed) out += " " + calendar::iso_date(day);
  const char* keys[] = {"ready", "start", "not_before"};
  out += std::string("\n") + keys[static_cast<int>(book.date)] + ": " +
         calendar::iso_date(book.day) + "\n";
  for (const Pin& pin : book.pins) {
    out += std::string(pin.recorded ? "recorded" : "pinned") + " s" + std::to_string(pin.stage) +
           (pin.end ? ".end: " : ".start: ") + calendar::iso_date(pin.day) + "\n";
  }
  if (book.today) out += "today: " + calendar::iso_date(*book.today) + "\n";
  return out;
}

void fill(const Book& facts, book::Book& book) {
  std::vector<calendar::Weekday> weekdays;
  for (int i = 0; i < 7; ++i) {
    if ((facts.weekdays >> i & 1U) != 0) weekdays.push_back(static_cast<calendar::Weekday>(i));
  }
  book.today = facts.today;
  book.site.name.value = "Reference";
  book.site.working = calendar::WorkingDays(weekdays, {facts.closed.begin(), facts.closed.end()});
  book.site.climate = std::make_shared<const climate::DailySeries>(temperatures());
  book::Batch batch;
  batch.id.value = "A";
  batch.protocol.value = "sample";
  batch.plants.value = 10;
  auto& date = facts.date == Book::Date::ready   ? batch.ready
               : facts.date == Book::Date::start ? batch.start
                                                 : batch.not_before;
  date = book::Placed<Day>{facts.day, {}};
  for (const Pin& pin : facts.pins) {
    using Side = book::Pin::Side;
    batch.pins.push_back({"s" + std::to_string(pin.stage),
                          pin.end ? Side::end : Side::start,
                          pin.day,
                          {},
                          pin.recorded});
  }
  book.batches.push_back(std::move(batch));
}

}  // namespace budwood::reference
