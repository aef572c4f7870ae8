#include "book/site/crew_reader.hpp"

#include <algorithm>
#include <utility>

#include "book/limits.hpp"
#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"
#include "units/units.hpp"

namespace budwood::book {

namespace {

constexpr std::size_t most_changes = 1000;  ///< of one kind

/// Money for one person-hour; "18 EUR" and "18 EUR per hour" are the same.
std::optional<Placed<double>> read_cost(const Node& node, MoneyReader& money,
                                        text::Diagnostics& diagnostics) {
  const Wanted wanted{"cost", "money for one person-hour", "18.50"};
  const auto cost = money.read(node, wanted);
  if (!cost) return std::nullopt;
  const units::Dimension& dimension = cost->quantity.unit.dimension;
  if (dimension.is_number() || dimension == units::money) {
    return Placed<double>{cost->quantity.base(), node.span};
  }
  if (dimension * units::time == units::number || dimension * units::time == units::money) {
    return Placed<double>{cost->quantity.base() * units::seconds_an_hour, node.span};
  }
  report_wanted(node, wanted, diagnostics);
  return std::nullopt;
}

/// "{mon: 7 h, fri: 4 h}": by weekday, where each is written; 0 where it is not named.
struct WrittenHours {
  std::array<double, 7> seconds{};
  std::array<text::Span, 7> spans;
};

std::optional<WrittenHours> read_week(const Node& node, text::Diagnostics& diagnostics) {
  WrittenHours out;
  bool right = true;
  for (const Entry& entry : node.entries) {
    const auto weekday = read_weekday("hours", entry.key, entry.key_span, diagnostics);
    const auto hours = read_hours(entry.value, diagnostics);
    right = right && weekday && hours;
    if (!weekday || !hours) continue;
    const auto day = static_cast<std::size_t>(*weekday);
    if (out.seconds[day] > 0) {
      diagnostics.error("repeated-value", entry.key_span, "This weekday stands here twice.",
                        "Remove one of them.");
      right = false;
    }
    out.seconds[day] = hours->value;
    out.spans[day] = hours->span;
  }
  if (!right) return std::nullopt;
  if (!node.entries.empty()) return out;
  report_wanted(node, {"hours", "a length of time for each weekday", "{mon: 7 h, fri: 4 h}"},
                diagnostics);
  return std::nullopt;
}

std::optional<WrittenHours> read_written_hours(const Node& node, text::Diagnostics& diagnostics) {
  if (node.kind == Node::Kind::map) return read_week(node, diagnostics);
  const auto hours = read_hours(node, diagnostics);
  if (!hours) return std::nullopt;
  WrittenHours out;
  out.seconds.fill(hours->value);
  out.spans.fill(hours->span);
  return out;
}

/// What a person works on a day: `hours` less `pauses`.
std::optional<WeekHours> read_crew_hours(const Fields& fields, text::Diagnostics& diagnostics) {
  const Node* node = fields.need("hours", "hours: 6 h");
  if (node == nullptr) return std::nullopt;
  auto hours = read_written_hours(*node, diagnostics);
  if (!hours) return std::nullopt;
  const Node* off = fields.get("pauses");
  if (off == nullptr) return WeekHours(hours->seconds);
  const auto pauses =
      read_time(*off, {"pauses", "a length of time", "30 min"}, units::seconds_a_day, diagnostics);
  if (!pauses) return std::nullopt;
  for (std::size_t day = 0; day < hours->seconds.size(); ++day) {
    double& seconds = hours->seconds[day];
    if (seconds > 0 && pauses->value >= seconds) {
      diagnostics.add({text::Severity::error,
                       "out-of-range",
                       pauses->span,
                       "`pauses` have to be shorter than `hours`: nothing is left to work in.",
                       "Write what each person pauses a day.",
                       {{hours->spans[day], "the hours"}}});
      return std::nullopt;
    }
    if (seconds > 0) seconds -= pauses->value;
  }
  return WeekHours(hours->seconds);
}

/// The days of an entry of `leave` or `extra`: `on`, or `from` and `to`.
std::optional<PeopleChange> read_days(const Fields& fields, const Node& node,
                                      text::Diagnostics& diagnostics) {
  const Node* on = fields.get("on");
  const Node* from = fields.get("from");
  const Node* to = fields.get("to");
  const Wanted date{"on", "a date", "2027-05-10"};
  if (on != nullptr && from == nullptr && to == nullptr) {
    const auto day = read_day(*on, date, diagnostics);
    if (!day) return std::nullopt;
    return PeopleChange{day->value, day->value, 1, node.span};
  }
  if (on != nullptr || from == nullptr || to == nullptr) {
    diagnostics.error("wrong-value", node.span, "These days have no beginning and end.",
                      "Write `on: 2027-05-10` for one day, else `from: 2027-05-10` and `to: "
                      "2027-05-14`.");
    return std::nullopt;
  }
  const auto first = read_day(*from, {"from", date.what, date.example}, diagnostics);
  const auto last = read_day(*to, {"to", date.what, "2027-05-14"}, diagnostics);
  if (!first || !last) return std::nullopt;
  if (last->value < first->value) {
    diagnostics.error("out-of-range", to->span, "These days end before they begin.",
                      "Write the earlier date as `from`.");
    return std::nullopt;
  }
  return PeopleChange{first->value, last->value, 1, node.span};
}

std::optional<PeopleChange> read_change(const Node& node, KeyMap kind,
                                        text::Diagnostics& diagnostics) {
  const Fields fields(node, kind, diagnostics);
  if (!fields.usable()) return std::nullopt;
  auto change = read_days(fields, node, diagnostics);
  const Node* people = fields.get("people");
  if (people == nullptr) return change;
  const auto number = read_people(*people, diagnostics);
  if (!number || !change) return std::nullopt;
  change->people = static_cast<int>(number->value);
  return change;
}

/// The entries of `leave` or `extra`. Two for the same days both count, which may be a slip.
std::vector<PeopleChange> read_changes(const Fields& fields, KeyMap kind,
                                       text::Diagnostics& diagnostics) {
  const std::string key = kind == KeyMap::leave ? "leave" : "extra";
  std::vector<PeopleChange> out;
  const Node* node = fields.group(key);
  if (node == nullptr || node->kind == Node::Kind::null) return out;
  if (node->kind != Node::Kind::list) {
    report_wanted(*node, {key, "a list of days", "[{from: 2027-05-10, to: 2027-05-14, people: 1}]"},
                  diagnostics);
    return out;
  }
  if (node->items.size() > most_changes) {
    diagnostics.error("out-of-range", node->span,
                      "`" + key + "` can have " + std::to_string(most_changes) + " entries.");
    return out;
  }
  for (const Node& item : node->items) {
    const auto change = read_change(item, kind, diagnostics);
    if (!change) continue;
    const bool repeated = std::any_of(out.begin(), out.end(), [&](const PeopleChange& one) {
      return one.first == change->first && one.last == change->last;
    });
    if (repeated) {
      diagnostics.warning("repeated-value", item.span,
                          "These days stand here twice, and both entries count.",
                          "Write `people: 2` in one of them, or remove one.");
    }
    out.push_back(*change);
  }
  return out;
}

/// Who looks after the plants on days on which the others are not there.
std::optional<Duty> read_duty(const Node& node, text::Diagnostics& diagnostics) {
  const Fields fields(node, KeyMap::duty, diagnostics);
  if (!fields.usable()) return std::nullopt;
  Duty duty;
  duty.span = node.span;
  const Node* written = fields.need("hours", "hours: 2 h");
  const auto hours = written == nullptr ? std::nullopt : read_hours(*written, diagnostics);
  std::array<double, 7> by_weekday{};
  if (hours) by_weekday.fill(hours->value);
  if (const Node* days = fields.get("days")) {
    by_weekday.fill(0);
    for (const calendar::Weekday day : read_weekdays(*days, diagnostics)) {
      if (hours) by_weekday[static_cast<std::size_t>(day)] = hours->value;
    }
  }
  if (const Node* who = fields.get("who")) {
    const auto text =
        read_line(*who, {"who", "a name", "one of two, in turn"}, longest_line, diagnostics);
    if (text) duty.who = text->value;
  }
  duty.hours = WeekHours(by_weekday);
  return hours ? std::optional(duty) : std::nullopt;
}

/// More people cannot be away than there are. The number changes for the worse only on the first
/// day of a leave and behind the last day of extra people.
void check_leave(const std::string& name, const Crew& crew, text::Diagnostics& diagnostics) {
  std::vector<calendar::Day> days;
  for (const PeopleChange& leave : crew.leave) days.push_back(leave.first);
  for (const PeopleChange& extra : crew.extra) days.push_back(extra.last + 1);
  std::sort(days.begin(), days.end());
  const auto on = [](const PeopleChange& change, calendar::Day day) {
    return change.first <= day && day <= change.last;
  };
  std::vector<const PeopleChange*> reported;
  for (const calendar::Day day : days) {
    int there = crew.people;
    int away = 0;
    const PeopleChange* last = nullptr;
    for (const PeopleChange& extra : crew.extra) there += on(extra, day) ? extra.people : 0;
    for (const PeopleChange& leave : crew.leave) {
      if (!on(leave, day)) continue;
      away += leave.people;
      last = &leave;
    }
    if (away <= there || std::find(reported.begin(), reported.end(), last) != reported.end()) {
      continue;
    }
    reported.push_back(last);
    diagnostics.error("out-of-range", last->span,
                      "On " + calendar::short_date(day) + " " + std::to_string(away) +
                          " of crew `" + name + "` are away, and there are " +
                          std::to_string(there) + ".",
                      "Write each absence once, and `people` for how many are away.");
  }
}

/// Extra people on days on which the crew does not work would be no help.
void check_extra(const Crew& crew, const calendar::WorkingDays& working,
                 text::Diagnostics& diagnostics) {
  for (const PeopleChange& extra : crew.extra) {
    bool helps = false;
    for (calendar::Day day = extra.first; day <= extra.last && !helps; ++day) {
      helps = working.works(day) && crew.hours.on(calendar::weekday(day)) > 0;
    }
    if (helps) continue;
    diagnostics.warning("no-hours", extra.span,
                        "On none of these days the crew works, so extra people do not come either.",
                        "Choose working days of the site on which `hours` says how long.");
  }
}

}  // namespace

std::optional<Crew> read_crew(const Entry& entry, const calendar::WorkingDays& working,
                              MoneyReader& money, text::Diagnostics& diagnostics) {
  const Fields fields(entry.value, KeyMap::crew, diagnostics);
  if (!fields.usable()) return std::nullopt;
  Crew crew;
  crew.span = entry.key_span;
  std::optional<Placed<std::int64_t>> number;
  if (const Node* people = fields.need("people", "people: 3")) {
    number = read_people(*people, diagnostics);
  }
  const auto hours = read_crew_hours(fields, diagnostics);
  crew.leave = read_changes(fields, KeyMap::leave, diagnostics);
  crew.extra = read_changes(fields, KeyMap::extra, diagnostics);
  if (const Node* duty = fields.get("duty")) crew.duty = read_duty(*duty, diagnostics);
  if (const Node* cost = fields.get("cost")) crew.cost = read_cost(*cost, money, diagnostics);
  if (!number || !hours) return std::nullopt;
  crew.people = static_cast<int>(number->value);
  crew.hours = *hours;
  check_leave(entry.key, crew, diagnostics);
  check_extra(crew, working, diagnostics);
  return crew;
}

}  // namespace budwood::book
