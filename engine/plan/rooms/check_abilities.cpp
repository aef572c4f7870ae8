#include "plan/rooms/check_abilities.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "climate/sunlight.hpp"
#include "plan/plan.hpp"
#include "plan/settings/lamp_light.hpp"
#include "plan/settings/stage_settings.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

using calendar::Day;
using language::Bound;
using language::Measure;

namespace {

/// What a stage asks for that its room cannot do.
struct Lack {
  std::string ability;  ///< as it would stand under `can:`
  std::string message;  ///< "it asks for mist": completes a sentence about the stage
  Day day = 0;
  double light = 0;  ///< of lamps: how much; what they lack is the same thing at any strength
};

class AbilityCheck {
 public:
  explicit AbilityCheck(const Plan& plan) : site_(plan.book->site) {}

  /// By ability, each on the first day on which it is wanting; lamps on the first of the days on
  /// which most light is wanting.
  std::vector<Lack> lacks(const book::Abilities& can, const StageSettings& settings, Day start,
                          bool waits) const {
    std::vector<Lack> out;
    const auto add = [&](std::optional<Lack> lack) {
      if (!lack) return;
      const auto known = std::find_if(out.begin(), out.end(), [&](const Lack& one) {
        return one.ability == lack->ability || (one.light > 0 && lack->light > 0);
      });
      if (known == out.end()) {
        out.push_back(std::move(*lack));
      } else if (lack->light > known->light) {
        *known = std::move(*lack);
      }
    };
    for (int offset = 0; offset < settings.days(); ++offset) {
      const std::vector<DaySetting> asked = settings.asked(offset);
      for (const DaySetting& one : asked) {
        const Day day = start + offset;
        std::optional<Lack> lack;
        if (one.name != language::facts_of(Measure::light_sum).name)
          lack = lack_of(can, one, settings.room(), day);
        if (!lack && sums_up(one)) lack = lack_of_sum(can, one, settings.room(), asked, day);
        add(std::move(lack));
      }
    }
    const auto held = waits ? settings.held() : std::nullopt;
    if (held) add(lack_of(can, *held, settings.room(), start + settings.days()));
    return out;
  }

 private:
  /// Light for so many hours is a sum as well.
  static bool sums_up(const DaySetting& asked) {
    return asked.name == language::facts_of(Measure::light_sum).name ||
           (asked.name == language::facts_of(Measure::light).name && !std::isnan(asked.hours));
  }

  std::optional<Lack> lack_of(const book::Abilities& can, const DaySetting& asked,
                              const std::string& room, Day day) const {
    if (asked.kind == DaySetting::Kind::mist) {
      if (can.mists) return std::nullopt;
      return Lack{"mists", "it asks for mist", day};
    }
    const language::MeasureFacts* facts = language::find_measure(asked.name);
    if (facts == nullptr) return std::nullopt;
    switch (facts->measure) {
      case Measure::root_zone:
        if (can.bottom_heat || asked.bound == Bound::at_most) return std::nullopt;
        return Lack{"bottom heat", "it asks for " + describe(asked), day};
      case Measure::air:
        return lack_of_warmth(can, asked, day);
      case Measure::light:
        return lack_of_light(can, asked, day);
      case Measure::photoperiod:
        if (auto lack = lack_of_darkness(can, asked, room, day)) return lack;
        return lack_of_lamps(can, asked, day);
      case Measure::night_break:
        return lack_of_lamps(can, asked, day);
      default:
        return std::nullopt;
    }
  }

  /// Without temperatures of the site only a room that does neither is sure not to hold the air.
  std::optional<Lack> lack_of_warmth(const book::Abilities& can, const DaySetting& asked,
                                     Day day) const {
    const auto outside = site_.climate == nullptr ? std::nullopt : site_.climate->on(day);
    const std::string wish = "it asks for " + describe(asked);
    if (!outside) {
      if (can.heats || can.cools) return std::nullopt;
      return Lack{asked.bound == Bound::at_most ? "cools" : "heats", wish, day};
    }
    const double mean = (outside->minimum + outside->maximum) / 2;
    const std::string where =
        ", and outdoors it is " + units::format(mean, asked.unit, 2) + " on average then";
    const double tolerance = language::facts_of(Measure::air).tolerance;
    const bool too_cold = asked.bound != Bound::at_most && mean < asked.low - tolerance;
    const bool too_warm = asked.bound != Bound::at_least && mean > asked.high + tolerance;
    if (too_cold && !can.heats) return Lack{"heats", wish + where, day};
    if (too_warm && !can.cools) return Lack{"cools", wish + where, day};
    return std::nullopt;
  }

  std::optional<Lack> lack_of_light(const book::Abilities& can, const DaySetting& asked,
                                    Day day) const {
    if (asked.bound == Bound::at_most || !(asked.low > can.light)) return std::nullopt;
    const std::string ability = lights_up_to(asked.low);
    const std::string wish = "it asks for " + describe(asked);
    if (!site_.latitude) return Lack{ability, wish, day, asked.low};
    const double latitude = site_.latitude->value;
    const double bright = climate::day_length(latitude, climate::day_of_year(day));
    const double hours = std::isnan(asked.hours) ? bright : asked.hours;
    const auto clock = [](double seconds) {
      return units::format(seconds, *units::find_unit("h"), 3);
    };
    if (can.light <= 0 && hours > bright) {
      return Lack{ability, wish + ", and the day is " + clock(bright) + " long then", day,
                  asked.low};
    }
    const double sun = climate::most_light_sum(latitude, climate::day_of_year(day));
    if (asked.low * hours <= sun + can.light * hours) return std::nullopt;
    return Lack{ability,
                wish + ", and even a clear day brings no more than " +
                    units::format_number(sun, 2) + " mol/m2 then",
                day, asked.low};
  }

  /// A day that is too long. A room that lets no daylight in is dark as it is.
  std::optional<Lack> lack_of_darkness(const book::Abilities& can, const DaySetting& asked,
                                       const std::string& room, Day day) const {
    if (can.darkens || !site_.latitude) return std::nullopt;
    const auto& lets_in = site_.find_room(room)->lets_in;
    if (lets_in && lets_in->value == 0) return std::nullopt;
    const double bright = climate::day_length(site_.latitude->value, climate::day_of_year(day));
    if (day_beyond(&asked, bright) <= 0) return std::nullopt;
    return Lack{"darkens",
                "it asks for " + describe(asked) + ", and the day is " +
                    units::format(bright, *units::find_unit("h"), 3) + " long then",
                day};
  }

  /// To lengthen the day, or to break the night, any lamp will do: some 10 umol/m2/s.
  std::optional<Lack> lack_of_lamps(const book::Abilities& can, const DaySetting& asked,
                                    Day day) const {
    constexpr double weak = 10e-6;
    if (can.light > 0 || asked.bound == Bound::at_most || !(asked.low > 0)) return std::nullopt;
    const std::string wish = "it asks for " + describe(asked);
    if (asked.name == language::facts_of(Measure::night_break).name) {
      return Lack{lights_up_to(weak), wish, day, weak};
    }
    if (!site_.latitude) return std::nullopt;
    const double bright = climate::day_length(site_.latitude->value, climate::day_of_year(day));
    if (asked.low <= bright) return std::nullopt;
    return Lack{lights_up_to(weak),
                wish + ", and the day is " + units::format(bright, *units::find_unit("h"), 3) +
                    " long then",
                day, weak};
  }

  /// Where what the room lets in is not known, what a clear day brings outdoors is the most.
  std::optional<Lack> lack_of_sum(const book::Abilities& can, const DaySetting& asked,
                                  const std::string& room, const std::vector<DaySetting>& all,
                                  Day day) const {
    const auto lamps = lamp_day(site_, room, all, day);
    if (!lamps || std::isnan(lamps->wanted)) return std::nullopt;
    double sun = lamps->daylight;
    const bool known = !std::isnan(sun);
    if (!known) {
      if (!site_.latitude) return std::nullopt;
      sun = climate::most_light_sum(site_.latitude->value, climate::day_of_year(day));
    }
    const double missing = lamps->wanted - sun;
    if (missing <= can.light * lamps->longest * (1 + units::rounding_slack)) return std::nullopt;
    const double wanted = missing / lamps->longest;
    std::string message = "it asks for " + describe(asked) + ", and " +
                          (known ? "the sun brings " : "even a clear day brings no more than ") +
                          units::format_number(sun, 2) + " mol/m2 " +
                          (known ? "to the plants then" : "then");
    if (can.light > 0) {
      message += "; its lamps would have to burn for " +
                 units::format(missing / can.light, *units::find_unit("h"), 3);
    }
    return Lack{lights_up_to(wanted), std::move(message), day, wanted};
  }

  /// Lamps are told by whole tens of umol/m2/s.
  static std::string lights_up_to(double light) {
    const units::Unit unit = *units::find_unit("umol/m2/s");
    const double strong = 10 * units::round_up(unit.from_base(light) / 10);
    return "lights up to " + units::format(unit.to_base(strong), unit);
  }

  const book::Site& site_;
};

/// Stages of one protocol that lack the same in one room are told together.
using Key = std::tuple<std::string, const language::Stage*, std::string>;

}  // namespace

void check_abilities(Plan& plan) {
  const AbilityCheck check(plan);
  std::map<Key, std::size_t> told;  // in Plan::conflicts
  for (std::size_t b = 0; b < plan.batches.size(); ++b) {
    const BatchPlan& batch = plan.batches[b];
    if (!batch.dated || !plan.facts_of(batch).lead) continue;
    const sheet::Row row = plan.row_of(batch);
    const std::string& id = plan.facts_of(batch).id.value;
    for (const StageId s : row.protocol().stages.ids()) {
      const language::Stage& stage = row.stage(s);
      const book::Room* const room = plan.book->site.find_room(stage.room);
      if (room == nullptr || !room->can) continue;
      const StageSettings settings(plan.book->site, row, s);
      for (const Lack& lack :
           check.lacks(*room->can, settings, row.start(s), waiting_days(row, s) > 0)) {
        const auto [place, fresh] =
            told.try_emplace({stage.room, &stage, lack.ability}, plan.conflicts.size());
        if (!fresh) {
          add_other(plan.conflicts[place->second], id);
          continue;
        }
        Conflict conflict;
        conflict.batch = id;
        conflict.code = "room-cannot";
        conflict.span = plan.facts_of(batch).span;
        conflict.message = "`" + stage.name + "` of `" + id + "` stands in room `" + stage.room +
                           "`, which cannot do it: on " + calendar::short_date(lack.day) + " " +
                           lack.message + ".";
        conflict.facts.push_back({"What the room can do.", room->can->span});
        conflict.facts.push_back({"The stage.", stage.span});
        conflict.repairs.push_back({"Where the room can do it all the same: add `" + lack.ability +
                                    "` to `can` of `" + stage.room + "` in site.yaml."});
        conflict.repairs.push_back({"Put `" + stage.name + "` into a room that can."});
        plan.conflicts.push_back(std::move(conflict));
      }
    }
  }
}

}  // namespace budwood::plan
