#include "report/load/load_view.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

using calendar::Day;

DayRange span_of(Day first, std::size_t days) {
  return {first, first + static_cast<Day>(days) - 1};
}

DayRange within(DayRange days, const Filter& filter) {
  if (filter.from) days.first = std::max(days.first, *filter.from);
  if (filter.to) days.last = std::min(days.last, *filter.to);
  return days;
}

/// The days on which a batch has space in a room.
DayRange days_of_batch(const plan::Plan& plan, const plan::RoomLoad& room,
                       const std::string& batch) {
  DayRange out;
  for (const plan::Stay& stay : room.stays) {
    if (batch_id(plan, stay.batch) != batch || stay.free <= stay.first) continue;
    if (out.empty()) out = {stay.first, stay.free - 1};
    out = {std::min(out.first, stay.first), std::max(out.last, stay.free - 1)};
  }
  return out;
}

/// The days on which a batch wants a crew.
DayRange days_of_batch(const plan::Plan& plan, const plan::CrewLoad& crew,
                       const std::string& batch) {
  DayRange out;
  for (const plan::Labour& labour : crew.labour) {
    if (batch_id(plan, plan.orders[labour.order].batch) != batch) continue;
    out = {out.empty() ? labour.day : out.first, labour.day};
  }
  return out;
}

bool has_batch(const plan::Plan& plan, const std::vector<std::uint32_t>& batches,
               const Filter& filter) {
  return !filter.batch || std::any_of(batches.begin(), batches.end(), [&](std::uint32_t batch) {
    return batch_id(plan, batch) == *filter.batch;
  });
}

void add_left_out(const plan::Plan& plan, const plan::RoomLoad& room, const Filter& filter,
                  ShownLoad& out) {
  for (const plan::Stay& stay : room.stays) {
    if (stay.counted || stay.free <= stay.first) continue;
    if (filter.batch && batch_id(plan, stay.batch) != *filter.batch) continue;
    const DayRange days = within({stay.first, stay.left - 1}, filter);
    if (days.empty()) continue;
    const sheet::Row row = plan.row_of(plan.batches[stay.batch]);
    const double plants = row.value(row.layout().stages[stay.stage].plants);
    out.left_out.push_back({&room, stay.batch, stay.stage, plants, days});
  }
}

void add_room(const plan::Plan& plan, const plan::RoomLoad& room, const Filter& filter,
              ShownLoad& out) {
  if (filter.room ? *filter.room != room.place.room : filter.crew.has_value()) return;
  const DayRange all = filter.batch ? days_of_batch(plan, room, *filter.batch)
                                    : span_of(room.first, room.taken.size());
  if (filter.batch && all.empty()) return;
  ShownRoom shown{&room, within(all, filter), {}};
  add_left_out(plan, room, filter, out);
  for (const plan::RoomOverload& over : room.overloads) {
    if (shown.days.meets(over.first, over.last) && has_batch(plan, over.batches, filter)) {
      shown.overloads.push_back(&over);
    }
  }
  out.rooms.push_back(std::move(shown));
}

void add_crew(const plan::Plan& plan, const plan::CrewLoad& crew, const Filter& filter,
              ShownLoad& out) {
  if (filter.crew ? *filter.crew != crew.crew : filter.room.has_value()) return;
  const DayRange all = filter.batch ? days_of_batch(plan, crew, *filter.batch)
                                    : span_of(crew.first, crew.wanted.size());
  ShownCrew shown{&crew, within(all, filter), {}};
  if (shown.days.empty()) return;
  for (const plan::CrewOverload& over : crew.overloads) {
    if (shown.days.meets(over.day, over.day) && has_batch(plan, over.batches, filter)) {
      shown.overloads.push_back(&over);
    }
  }
  out.crews.push_back(std::move(shown));
}

std::vector<plan::BatchShare> in_list(const std::map<std::uint32_t, double>& shares) {
  std::vector<plan::BatchShare> out;
  for (const auto& [batch, amount] : shares) out.push_back({batch, amount});
  return out;
}

template <class Text>
std::string listed(const plan::Plan& plan, std::vector<plan::BatchShare> shares, std::size_t most,
                   Text text) {
  std::vector<std::string> pieces;
  for (const plan::BatchShare& share : shares) {
    pieces.push_back(batch_id(plan, share.batch) + text(share.amount));
  }
  return some_of(pieces, most);
}

}  // namespace

double ShownCrew::wanted(Day day) const {
  const Day at = day - load->first;
  return at < 0 || at >= static_cast<Day>(load->wanted.size())
             ? 0
             : load->wanted[static_cast<std::size_t>(at)];
}

std::optional<double> ShownCrew::there(Day day) const {
  const Day at = day - load->first;
  if (!load->known || at < 0 || at >= static_cast<Day>(load->there.size())) return std::nullopt;
  return load->there[static_cast<std::size_t>(at)];
}

bool ShownLoad::fits() const {
  const auto fits = [](const auto& one) { return one.overloads.empty(); };
  return std::all_of(rooms.begin(), rooms.end(), fits) &&
         std::all_of(crews.begin(), crews.end(), fits);
}

std::vector<const ShownRoom*> ShownLoad::unjudged() const {
  std::vector<const ShownRoom*> out;
  for (const ShownRoom& room : rooms) {
    const auto& taken = room.load->taken;
    const bool used = std::any_of(taken.begin(), taken.end(), [](double one) { return one > 0; });
    if (used && !room.days.empty() && !room.load->place.judged()) out.push_back(&room);
  }
  return out;
}

DayRange ShownLoad::days() const {
  DayRange out;
  const auto add = [&](const DayRange& days) {
    if (days.empty()) return;
    if (out.empty()) out = days;
    out = {std::min(out.first, days.first), std::max(out.last, days.last)};
  };
  for (const ShownRoom& room : rooms) add(room.days);
  for (const ShownCrew& crew : crews) add(crew.days);
  return out;
}

ShownLoad shown_load(const plan::Plan& plan, const plan::Load& load, const Filter& filter) {
  ShownLoad out;
  for (const plan::RoomLoad& room : load.rooms) add_room(plan, room, filter, out);
  for (const plan::CrewLoad& crew : load.crews) add_crew(plan, crew, filter, out);
  return out;
}

std::vector<plan::BatchShare> room_shares(const plan::RoomLoad& room, const DayRange& days) {
  // What begins later or ends earlier than others may never stand there together with them.
  std::map<std::uint32_t, double> most;
  for (Day day = days.first; day <= days.last; ++day) {
    std::map<std::uint32_t, double> today;
    for (const plan::Stay& stay : room.stays) {
      if (stay.first > day) break;
      if (day < stay.free && stay.amount > 0) today[stay.batch] += stay.amount;
    }
    for (const auto& [batch, amount] : today) most[batch] = std::max(most[batch], amount);
  }
  return in_list(most);
}

std::vector<plan::BatchShare> crew_shares(const plan::Plan& plan, const plan::CrewLoad& crew,
                                          const DayRange& days) {
  const auto begin =
      std::lower_bound(crew.labour.begin(), crew.labour.end(), days.first,
                       [](const plan::Labour& one, Day day) { return one.day < day; });
  std::map<std::uint32_t, double> sums;
  for (auto one = begin; one != crew.labour.end(); ++one) {
    if (one->day > days.last) break;
    sums[plan.orders[one->order].batch] += one->seconds;
  }
  return in_list(sums);
}

std::string amount_text(const plan::RoomPlace& place, double base) {
  // Nobody measures a bench closer than that.
  constexpr int digits_of_area = 4;
  return place.unit.dimension == units::area ? units::format(base, place.unit, digits_of_area)
                                             : units::format(base, place.unit);
}

std::string holds_text(const plan::RoomPlace& place) {
  if (!place.holds) return place.unlimited ? "no limit" : "not told";
  const std::string all = amount_text(place, *place.holds);
  if (place.vessel.empty()) return all;
  return all + " in " +
         units::format(*place.holds / place.vessel_holds, units::counting_unit(place.vessel));
}

std::vector<std::string> left_out_texts(const plan::Plan& plan, const ShownLoad& shown) {
  std::vector<std::string> out;
  std::vector<std::string> rooms;
  for (const ShownRoom* room : shown.unjudged())
    rooms.push_back("`" + room->load->place.room + "`");
  if (!rooms.empty()) {
    out.push_back("Not judged: " + std::string(rooms.size() > 1 ? "rooms " : "room ") +
                  text::list_words(rooms, "and") + ", of which site.yaml does not say how much " +
                  (rooms.size() > 1 ? "they hold" : "it holds") +
                  " (`holds:`, perhaps `holds: no limit`).");
  }
  // By room and stage: the batches that stand there so.
  std::map<std::pair<std::string, std::string>, std::vector<const LeftOut*>> stages;
  for (const LeftOut& one : shown.left_out) {
    const language::Protocol& protocol = plan.protocol_of(plan.batches[one.batch]);
    stages[{one.room->place.room, protocol.stages[one.stage].name}].push_back(&one);
  }
  for (const auto& [where, all] : stages) {
    double plants = 0;
    std::set<std::string> batches;
    DayRange days;
    for (const LeftOut* one : all) {
      const bool fresh = batches.insert(batch_id(plan, one->batch)).second;
      plants += fresh ? one->plants : 0;
      if (days.empty()) days = one->days;
      days = {std::min(days.first, one->days.first), std::max(days.last, one->days.last)};
    }
    out.push_back("Not counted in room `" + where.first +
                  "`: " + units::format(plants, units::counting_unit("plants")) + " in `" +
                  where.second + "`, " + short_date(days.first) + " to " + short_date(days.last) +
                  " (" + some_of({batches.begin(), batches.end()}, 4) +
                  "), because `space` does not say it in " + all.front()->room->place.unit.symbol +
                  ".");
  }
  return out;
}

std::string of_it_text(double wanted, double there) {
  if (there <= 0) return "-";
  const double percent = 100 * wanted / there;
  if (percent > 0 && percent < 1) return "under 1 %";
  // A little too much does not read as just enough.
  const bool over = wanted > there + sheet::slack(wanted, there);
  return units::format_number(over ? std::ceil(percent) : std::round(percent)) + " %";
}

std::string hours_text(double person_seconds) {
  const std::string text = time_text(person_seconds);
  return text.empty() ? "0 h" : text;
}

std::string shares_text(const plan::Plan& plan, const plan::RoomPlace& place,
                        const std::vector<plan::BatchShare>& shares, std::size_t most) {
  return listed(plan, shares, most, [&](double base) { return " " + amount_text(place, base); });
}

std::string time_shares_text(const plan::Plan& plan, const std::vector<plan::BatchShare>& shares,
                             std::size_t most) {
  return listed(plan, shares, most, [](double seconds) { return " " + hours_text(seconds); });
}

std::string names_text(const plan::Plan& plan, const std::vector<plan::BatchShare>& shares,
                       std::size_t most) {
  return listed(plan, shares, most, [](double) { return std::string(); });
}

}  // namespace budwood::report
