#include "plan/rooms/room_climate.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <string_view>
#include <tuple>
#include <unordered_map>
#include <unordered_set>

#include "plan/orders/order.hpp"
#include "plan/orders/settings.hpp"
#include "plan/plan.hpp"
#include "plan/rooms/move_batch.hpp"
#include "plan/rooms/room_zones.hpp"
#include "plan/settings/stage_settings.hpp"
#include "threads/threads.hpp"

namespace budwood::plan {

using language::Half;
using language::Measure;
using language::MeasureFacts;

namespace {

/// What is found of a room.
struct RoomFound {
  Zones zones;
  std::vector<Conflict> conflicts;
};

/// What can be said of a room in one plan.
class RoomCheck {
 public:
  RoomCheck(const Plan& plan, const ClimateProfiles& profiles, const std::string& room)
      : plan_(plan),
        profiles_(profiles),
        room_(room),
        zones_(profiles, tolerances(), zones_there()) {}

  RoomFound run(std::vector<ClimateStay> stays) {
    std::sort(stays.begin(), stays.end(), [](const ClimateStay& a, const ClimateStay& b) {
      return std::tie(a.start, a.batch, a.stage) < std::tie(b.start, b.batch, b.stage);
    });
    std::vector<std::size_t> groups;
    bool all_fit = true;
    for (const ClimateStay& stay : stays) {
      groups.push_back(zones_.add(stay));
      const std::size_t zone = zones_.groups()[groups.back()].zone;
      if (zone > 0) found_.zones[{stay.batch, stay.stage}] = zone;
      all_fit = all_fit && zones_.groups()[groups.back()].differences.empty();
    }
    if (all_fit) return std::move(found_);
    zones_wanted_ = zones_for_all(stays);
    for (std::size_t i = 0; i < stays.size(); ++i) {
      const StayGroup& group = zones_.groups()[groups[i]];
      if (!group.differences.empty()) report(stays[i], group);
    }
    return std::move(found_);
  }

 private:
  std::vector<double> tolerances() const {
    std::vector<double> out;
    for (const ClimateColumn& column : climate_columns()) {
      out.push_back(plan_.book->site.tolerance_in(room_, column.measure));
    }
    return out;
  }

  std::size_t zones_there() const {
    const auto& rooms = plan_.book->site.rooms;
    const auto found = rooms.find(room_);
    return found == rooms.end() ? 1 : static_cast<std::size_t>(found->second.zones);
  }

  /// In how many zones all would fit; one more than a room can have when that is not enough.
  std::size_t zones_for_all(const std::vector<ClimateStay>& stays) const {
    RoomZones zones(profiles_, tolerances(), book::most_zones + 1);
    for (const ClimateStay& stay : stays) {
      if (zones.used() > book::most_zones) break;
      zones.add(stay);
    }
    return zones.used();
  }

  const std::string& id_of(const ClimateStay& stay) const {
    return plan_.facts_of(plan_.batches[stay.batch]).id.value;
  }
  const language::Stage& stage_of(const ClimateStay& stay) const {
    return plan_.protocol_of(plan_.batches[stay.batch]).stages[stay.stage];
  }
  /// "`healing` of `B7`".
  std::string name_of(const ClimateStay& stay) const {
    return "`" + stage_of(stay).name + "` of `" + id_of(stay) + "`";
  }

  static std::string period(calendar::Day first, calendar::Day last) {
    if (first == last) return "on " + calendar::short_date(first);
    return "from " + calendar::short_date(first) + " to " + calendar::short_date(last);
  }

  std::string value_text(const ClimateStay& stay, const ClimateColumn& column,
                         calendar::Day day) const {
    const sheet::Row row = plan_.row_of(plan_.batches[stay.batch]);
    const sheet::StageClimate climate = row.climate(stay.stage);
    const MeasureFacts& facts = language::facts_of(column.measure);
    const StageSettings settings(plan_.book->site, row, stay.stage);
    const auto held = settings.held();
    const bool waits = day - stay.start >= climate.days();
    if (held && waits && column.measure == language::Measure::air) return held->value();
    // While plants wait for the next stage the settings of the last day go on.
    const int offset = std::min(day - stay.start, climate.days() - 1);
    for (const DaySetting& one : settings.asked(offset)) {
      const bool covers = one.half == Half::both || one.half == column.half;
      if (one.name == facts.name && covers) return one.value();
    }
    return units::format(climate.value(column.measure, column.half, offset),
                         units::in_system(*units::find_unit(facts.unit), plan_.book->site.units));
  }

  /// "air by day 26 degC against 20 degC (tolerance 2 degC)".
  struct Piece {
    ClimateColumn column;
    std::string own, other;
    calendar::Day day = 0;
    bool changes = false;
  };

  /// One for each measure; both halves of the day in one when they say the same.
  std::vector<Piece> pieces(const ClimateStay& stay, const Difference& found) const {
    const ClimateStay& other = zones_.groups()[found.other].first;
    std::vector<Piece> out;
    for (const ColumnDifference& one : found.columns) {
      const ClimateColumn& column = climate_columns()[one.column];
      Piece piece{column, value_text(stay, column, one.day), value_text(other, column, one.day),
                  one.day, one.changes};
      if (!out.empty() && out.back().column.measure == column.measure &&
          out.back().own == piece.own && out.back().other == piece.other &&
          out.back().day == piece.day) {
        out.back().column.half = Half::both;
      } else {
        out.push_back(std::move(piece));
      }
    }
    return out;
  }

  /// "root zone by night".
  static std::string name_of(const MeasureFacts& facts, Half half) {
    std::string name = facts.name;
    std::replace(name.begin(), name.end(), '_', ' ');
    return name + (half == Half::day ? " by day" : half == Half::night ? " by night" : "");
  }

  std::string text_of(const Piece& piece) const {
    const MeasureFacts& facts = language::facts_of(piece.column.measure);
    std::string out =
        name_of(facts, piece.column.half) + " " + piece.own + " against " + piece.other;
    if (piece.changes) out += " on " + calendar::short_date(piece.day);
    const double tolerance = plan_.book->site.tolerance_in(room_, piece.column.measure);
    return out + " (tolerance " + book::difference_text(facts, tolerance) + ")";
  }

  /// What is told of each stay of a group in the same words.
  struct GroupWords {
    std::string values;               ///< in which they differ
    std::vector<std::string> others;  ///< the first batches of the groups it is at odds with
    std::vector<sheet::DateConflict::Line> facts;
    std::string tolerance;
    std::string left;  ///< "when the others have left"
    calendar::Day left_on = 0;
  };

  const GroupWords& words_of(const ClimateStay& stay, const StayGroup& group) {
    const auto [found, fresh] = words_.try_emplace(&group);
    GroupWords& out = found->second;
    if (!fresh) return out;
    const Difference& worst = group.differences.front();
    for (const Piece& piece : pieces(stay, worst)) {
      out.values += (out.values.empty() ? "" : "; ") + text_of(piece);
    }
    std::unordered_set<std::string_view> known;
    for (const Difference& one : group.differences) {
      const StayGroup& other = zones_.groups()[one.other];
      const std::string& id = id_of(other.first);
      if (known.insert(id).second) out.others.push_back(id);
      out.left_on = std::max(out.left_on, other.last_day + 1);
    }
    out.facts = facts_of(group);
    out.tolerance = tolerance_for(group.differences);
    out.left = group.differences.size() == 1
                   ? "`" + id_of(zones_.groups()[worst.other].first) + "` has left"
                   : "the others have left";
    return out;
  }

  void report(const ClimateStay& stay, const StayGroup& group) {
    const Difference& worst = group.differences.front();
    const StayGroup& other = zones_.groups()[worst.other];
    const GroupWords& words = words_of(stay, group);
    Conflict conflict;
    conflict.batch = id_of(stay);
    conflict.others = words.others;
    std::erase(conflict.others, conflict.batch);
    conflict.code = "room-climate";
    conflict.span = plan_.facts_of(plan_.batches[stay.batch]).span;
    conflict.message = name_of(stay) + " and " + name_of(other.first) + " stand in room `" + room_ +
                       "` together and want different climates " + period(worst.first, worst.last) +
                       ": " + words.values + ".";
    conflict.facts.push_back({stands(stay, group.last_day) + ".", stage_of(stay).room_span});
    conflict.facts.insert(conflict.facts.end(), words.facts.begin(), words.facts.end());
    add_repairs(stay, group, words, conflict);
    found_.conflicts.push_back(std::move(conflict));
  }

  std::string stands(const ClimateStay& stay, calendar::Day last) const {
    return name_of(stay) + " stands there " + period(stay.start, last);
  }

  /// Where the other stands, and with whom it is at odds as well.
  std::vector<sheet::DateConflict::Line> facts_of(const StayGroup& group) const {
    std::vector<sheet::DateConflict::Line> out;
    const StayGroup& worst = zones_.groups()[group.differences.front().other];
    const std::size_t more = worst.stays - 1;
    out.push_back(
        {stands(worst.first, worst.last_day) +
             (more == 0 ? "."
                        : ", " + std::to_string(more) +
                              (more == 1 ? " more batch with it." : " more batches with it.")),
         stage_of(worst.first).room_span});
    constexpr std::size_t most_told = 4;
    for (std::size_t i = 1; i < group.differences.size(); ++i) {
      if (i == most_told) {
        out.push_back({"So do more batches.", {}});
        break;
      }
      const Difference& also = group.differences[i];
      const ClimateStay& other = zones_.groups()[also.other].first;
      out.push_back(
          {name_of(other) + " differs from it too, " + period(also.first, also.last) + ".",
           stage_of(other).room_span});
    }
    return out;
  }

  void add_repairs(const ClimateStay& stay, const StayGroup& group, const GroupWords& words,
                   Conflict& conflict) const {
    const StayGroup& worst = zones_.groups()[group.differences.front().other];
    const bool own =
        std::any_of(group.differences.begin(), group.differences.end(), [&](const Difference& one) {
          return zones_.groups()[one.other].first.batch == stay.batch;
        });
    // A batch cannot get out of its own way.
    if (!own) {
      conflict.repairs.push_back(move_batch(plan_, stay.batch, words.left_on - stay.start,
                                            ", so that it comes when " + words.left));
    }
    conflict.repairs.push_back(
        {"Put " + name_of(stay) + " or " + name_of(worst.first) + " into another room."});
    if (zones_wanted_ <= book::most_zones) {
      conflict.repairs.push_back({"Where the climate of the room can be set apart: `zones: " +
                                  std::to_string(zones_wanted_) + "` for `" + room_ +
                                  "` in site.yaml is enough for all."});
    }
    conflict.repairs.push_back({"Where the plants bear it: `tolerance: {" + words.tolerance +
                                "}` for `" + room_ + "` in site.yaml."});
  }

  /// "air: 6 degC, humidity: 20 %": just enough for them, in numbers of three digits.
  static std::string tolerance_for(const std::vector<Difference>& differences) {
    std::map<Measure, double> needed;
    for (const Difference& difference : differences) {
      for (const ColumnDifference& one : difference.columns) {
        double& most = needed[climate_columns()[one.column].measure];
        most = std::max(most, one.gap);
      }
    }
    std::string out;
    for (const auto& [measure, most] : needed) {
      const MeasureFacts& facts = language::facts_of(measure);
      const double factor = units::find_unit(facts.unit)->factor;
      const double step = factor * std::pow(10, std::floor(std::log10(most / factor)) - 2);
      out += (out.empty() ? "" : ", ") + facts.name + ": " +
             book::difference_text(facts, sheet::round_up(most / step) * step);
    }
    return out;
  }

  const Plan& plan_;
  const ClimateProfiles& profiles_;
  const std::string& room_;
  RoomFound found_;
  RoomZones zones_;
  std::size_t zones_wanted_ = 0;
  std::unordered_map<const StayGroup*, GroupWords> words_;
};

}  // namespace

Zones check_rooms(Plan& plan) {
  ClimateProfiles profiles;
  std::map<std::string, std::vector<ClimateStay>> stays;
  std::size_t all = 0;
  for (std::size_t b = 0; b < plan.batches.size(); ++b) {
    const BatchPlan& batch = plan.batches[b];
    if (!batch.dated || !plan.facts_of(batch).lead) continue;
    const sheet::Row row = plan.row_of(batch);
    for (const language::StageId s : row.protocol().stages.ids()) {
      const language::Stage& stage = row.stage(s);
      if (stage.room.empty() || (stage.settings.empty() && stage.mists.empty())) continue;
      stays[stage.room].push_back(
          {row.start(s), static_cast<std::uint32_t>(b), s, profiles.find(row, s)});
      ++all;
    }
  }
  // Rooms have nothing to do with each other. So few stays are not worth a thread.
  constexpr std::size_t few = 1000;
  const Plan& same = plan;
  std::vector<decltype(stays)::value_type*> rooms;
  for (auto& room : stays) rooms.push_back(&room);
  std::vector<RoomFound> found(rooms.size());
  threads::each_piece(
      rooms.size(),
      [&](std::size_t i) {
        found[i] = RoomCheck(same, profiles, rooms[i]->first).run(std::move(rooms[i]->second));
      },
      all < few ? 1 : threads::at_once());
  Zones zones;
  for (RoomFound& room : found) {
    zones.merge(room.zones);
    std::move(room.conflicts.begin(), room.conflicts.end(), std::back_inserter(plan.conflicts));
  }
  return zones;
}

}  // namespace budwood::plan
