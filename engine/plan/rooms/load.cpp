#include "plan/rooms/load.hpp"

#include <algorithm>
#include <map>
#include <tuple>

#include "plan/needs/crew_load.hpp"
#include "plan/needs/needs.hpp"
#include "plan/orders/order.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/room_load.hpp"
#include "sheet/site/site_sheets.hpp"

namespace budwood::plan {

using calendar::Day;

namespace {

/// The batches that have space on a day, by number, and how much.
std::vector<BatchShare> shares_on(const std::vector<const Stay*>& stays, Day day) {
  std::map<std::uint32_t, double> shares;
  for (const Stay* stay : stays) {
    if (stay->first <= day && stay->free > day) shares[stay->batch] += stay->amount;
  }
  std::vector<BatchShare> out;
  for (const auto& [batch, amount] : shares) out.push_back({batch, amount});
  return out;
}

std::vector<std::uint32_t> batches_of(const std::vector<const Stay*>& stays) {
  std::vector<std::uint32_t> out;
  for (const Stay* stay : stays) out.push_back(stay->batch);
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

/// Who has space in each run of days. Days and stays go on together, so that only stays that meet a
/// run are looked at for it.
void name_batches(const std::vector<Stay>& stays, std::vector<RoomOverload>& runs) {
  std::vector<const Stay*> there;
  auto next = stays.begin();
  for (RoomOverload& run : runs) {
    for (; next != stays.end() && next->first <= run.last; ++next) {
      if (next->free > next->first && next->amount > 0) there.push_back(&*next);
    }
    std::erase_if(there, [&](const Stay* stay) { return stay->free <= run.first; });
    run.shares = shares_on(there, run.worst);
    run.batches = batches_of(there);
  }
}

std::vector<RoomOverload> overloads_in(const RoomLoad& room) {
  std::vector<RoomOverload> out;
  if (!room.place.holds) return out;
  const double holds = *room.place.holds;
  for (std::size_t i = 0; i < room.taken.size(); ++i) {
    const double wanted = room.taken[i];
    if (wanted <= holds + sheet::slack(wanted, holds)) continue;
    const Day day = room.first + static_cast<Day>(i);
    if (out.empty() || out.back().last + 1 != day) out.push_back({day, day, day, wanted, {}, {}});
    RoomOverload& run = out.back();
    run.last = day;
    if (wanted > run.wanted) {
      run.wanted = wanted;
      run.worst = day;
    }
  }
  name_batches(room.stays, out);
  return out;
}

/// The crews of all works, and whose work each is.
class CrewCounter {
 public:
  explicit CrewCounter(const Plan& plan) : plan_(plan) {
    std::map<std::string, std::size_t> numbers;
    for (const sheet::Sheet& sheet : plan.sheets) {
      for (const language::Stage& stage : sheet.layout().protocol.stages) {
        for (const language::Work& work : stage.works) numbers.emplace(work.crew, 0);
      }
    }
    for (const BookRecipe& of : plan.recipes) numbers.emplace(of.recipe->crew, 0);
    for (const auto& [name, crew] : plan.book->site.crews) {
      if (crew.duty) numbers.emplace(name, 0);
    }
    for (auto& [name, number] : numbers) {
      number = crews_.size();
      crews_.push_back({});
      crews_.back().crew = name;
    }
    for (const sheet::Sheet& sheet : plan.sheets) {
      auto& stages = number_of_.emplace_back();
      for (const language::Stage& stage : sheet.layout().protocol.stages) {
        auto& works = stages.emplace_back();
        for (const language::Work& work : stage.works) works.push_back(numbers.at(work.crew));
      }
    }
    on_duty_ = std::move(numbers);
  }

  std::vector<CrewLoad> run() {
    for (std::uint32_t i = 0; i < plan_.orders.size(); ++i) {
      const WorkOrder& order = plan_.orders[i];
      if (order.state == OrderState::left_out) continue;
      const double seconds = person_seconds(plan_, order);
      if (!(seconds > 0)) continue;
      const std::size_t sheet = plan_.batches[order.batch].sheet;
      const std::size_t number = order.on_duty ? on_duty_.at(crew_of(plan_, order))
                                               : number_of_[sheet][order.stage][order.work];
      crews_[number].labour.push_back({i, seconds, order.date, -1});
    }
    add_makings();
    std::erase_if(crews_, [](const CrewLoad& crew) { return crew.labour.empty(); });
    for (CrewLoad& crew : crews_) add_days(crew);
    return std::move(crews_);
  }

 private:
  void add_makings() {
    if (plan_.makings.empty()) return;
    for (std::size_t i = 0; i < plan_.makings.size(); ++i) {
      const Making& making = plan_.makings[i];
      CrewLoad& crew = crews_[on_duty_.at(plan_.recipes[making.recipe].recipe->crew)];
      const std::vector<Labour> labour = labour_of(making, static_cast<std::int32_t>(i));
      crew.labour.insert(crew.labour.end(), labour.begin(), labour.end());
    }
    for (CrewLoad& crew : crews_) {
      std::stable_sort(crew.labour.begin(), crew.labour.end(),
                       [](const Labour& a, const Labour& b) { return a.day < b.day; });
    }
  }

  void add_days(CrewLoad& crew) const {
    const auto day_of = [](const Labour& labour) { return labour.day; };
    crew.first = day_of(crew.labour.front());
    crew.wanted.resize(static_cast<std::size_t>(day_of(crew.labour.back()) - crew.first) + 1);
    for (const Labour& labour : crew.labour) {
      crew.wanted[static_cast<std::size_t>(day_of(labour) - crew.first)] += labour.seconds;
    }
    const book::Site& site = plan_.book->site;
    const auto found = site.crews.find(crew.crew);
    crew.known = found != site.crews.end();
    if (!crew.known) return;
    for (std::size_t i = 0; i < crew.wanted.size(); ++i) {
      crew.there.push_back(
          found->second.person_seconds(crew.first + static_cast<Day>(i), site.working));
    }
    crew.overloads = overloads_of(plan_, crew.labour, &found->second);
  }

  const Plan& plan_;
  std::vector<CrewLoad> crews_;
  /// By sheet, stage and work: in crews_.
  std::vector<language::List<language::List<std::size_t, language::Work>, language::Stage>>
      number_of_;
  std::map<std::string, std::size_t> on_duty_;  ///< by name: in crews_
};

}  // namespace

double RoomLoad::taken_on(Day day) const {
  if (day < first || day - first >= static_cast<Day>(taken.size())) return 0;
  return taken[static_cast<std::size_t>(day - first)];
}

std::vector<RoomLoad> room_loads(const Plan& plan) {
  const RoomPlaces places(plan);
  std::vector<RoomLoad> rooms;
  sheet::DailyTotals totals;
  for (const RoomPlace& place : places.rooms()) {
    rooms.push_back({});
    rooms.back().place = place;
    totals.number_of({sheet::Resource::Kind::room, place.room, place.unit.dimension, ""});
  }
  for (std::uint32_t b = 0; b < plan.batches.size(); ++b) {
    for (const Stay& stay : places.stays_of(b)) {
      rooms[stay.room].stays.push_back(stay);
      if (stay.free > stay.first) totals.take(stay.room, stay.first, stay.free, stay.amount);
    }
  }
  for (std::uint32_t r = 0; r < rooms.size(); ++r) {
    RoomLoad& room = rooms[r];
    std::sort(room.stays.begin(), room.stays.end(), [](const Stay& a, const Stay& b) {
      return std::tie(a.first, a.batch, a.stage) < std::tie(b.first, b.batch, b.stage);
    });
    sheet::DailyTotals::Profile profile = totals.profile(r);
    room.first = profile.first;
    room.taken = std::move(profile.days);
    const auto peak = std::max_element(room.taken.begin(), room.taken.end());
    if (peak != room.taken.end()) {
      room.peak = *peak;
      room.peak_day = room.first + static_cast<Day>(peak - room.taken.begin());
    }
    room.overloads = overloads_in(room);
  }
  return rooms;
}

bool Load::fits() const {
  const auto all_fit = [](const auto& one) { return one.overloads.empty(); };
  return std::all_of(rooms.begin(), rooms.end(), all_fit) &&
         std::all_of(crews.begin(), crews.end(), all_fit);
}

Load load_of(const Plan& plan) {
  return {room_loads(plan), CrewCounter(plan).run()};
}

}  // namespace budwood::plan
