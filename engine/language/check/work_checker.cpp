#include <cmath>

#include "language/check/hazard.hpp"
#include "language/check/stage_checker.hpp"
#include "units/units.hpp"

/// Checks `do` blocks.
namespace budwood::language {

void StageChecker::item(const syntax::Work& written) {
  Work work = content(written);
  work.timing = timing(written.timing);
  stage().works.push_back(std::move(work));
}

/// Where from is known once all stages are: see check_moves.
void StageChecker::item(const syntax::Move& written) {
  Work work = move_work(written.span);
  fill(work, written.items);
  stage().works.push_back(std::move(work));
}

/// What is to be done, whenever that is.
Work StageChecker::content(const syntax::Work& written) {
  Work work;
  work.title = written.title.value;
  work.span = written.span;
  if (work.title.empty()) {
    diagnostics_.error("no-title", written.title.span, "This work has no title.",
                       "Say what is to be done, in the words of the work order.");
  }
  fill(work, written.items);
  return work;
}

void StageChecker::fill(Work& work, const std::vector<syntax::WorkItem>& items) {
  Seen seen;
  for (const syntax::WorkItem& item : items) {
    std::visit(
        [&](const auto& one) {
          if (only_once(seen, statement_of(one), span_of(one), "work", diagnostics_))
            work_item(one, work);
        },
        item);
  }
  cautions(work);
}

std::optional<int> StageChecker::whole_days(const syntax::Formula& written, const std::string& what,
                                            int lowest) {
  const FormulaId id = formulas_.check(written, a_length_of_time, what);
  if (id == no_formula) return std::nullopt;
  const double days = protocol_.node(id).value / units::seconds_a_day;
  constexpr double most = 10'000;
  if (days != std::floor(days) || days < lowest || days > most) {
    diagnostics_.error(
        "whole-days", written.span,
        what + " wants whole days" +
            (lowest > 0 ? ", at least one and at most 10 000." : ", at most 10 000."));
    return std::nullopt;
  }
  return static_cast<int>(days);
}

Timing StageChecker::timing(const syntax::Timing& written) {
  Timing timing;
  using Kind = syntax::Timing::Kind;
  timing.kind = written.kind == Kind::start    ? Timing::Kind::start
                : written.kind == Kind::repeat ? Timing::Kind::repeat
                                               : Timing::Kind::days;
  timing.span = written.span;
  std::set<std::pair<bool, int>> named;
  for (const syntax::DayRef& day : written.days) {
    if (named.emplace(day.last, day.day).second) {
      timing.days.push_back(stage_day(day));
    } else {
      diagnostics_.error("duplicate-day", day.span, "This day is named already.", "Take it out.");
    }
  }
  if (written.interval) timing.interval = whole_days(*written.interval, "`every`", 1).value_or(1);
  if (written.from) timing.from = stage_day(*written.from);
  if (written.to) timing.to = stage_day(*written.to);
  in_order(timing.from, timing.to);
  timing.hours = hours(written.hours);
  if (written.kind == syntax::Timing::Kind::between) return any_day(written, std::move(timing));
  timing.must = timing.kind != Timing::Kind::repeat || written.within.has_value();
  // Repeated work may fall up to the eve of its next turn; a single day is that day.
  if (timing.kind == Timing::Kind::repeat) timing.within = timing.interval - 1;
  if (written.within) {
    timing.within = whole_days(*written.within, "`within`", 0).value_or(0);
    if (timing.kind == Timing::Kind::repeat && timing.within >= timing.interval) {
      diagnostics_.error("out-of-range", written.within->span,
                         "Work that repeats every " + calendar::days_text(timing.interval) +
                             " cannot be this late: its next turn would come first.",
                         "Allow fewer days than lie between two turns.");
    }
  }
  return timing;
}

/// Due on the first of its days, and late up to the last.
Timing StageChecker::any_day(const syntax::Timing& written, Timing timing) {
  constexpr int to_the_end = 10'000;
  timing.any_day = true;
  timing.days = {timing.from};
  timing.within = timing.to.last ? to_the_end : timing.to.day - timing.from.day;
  if (timing.from.last) timing.within = 0;
  if (written.within) {
    diagnostics_.error("misplaced", written.within->span,
                       "`between` says already how late the work may be done.",
                       "Take `within` out, or name a later day.");
  }
  return timing;
}

void StageChecker::work_item(const syntax::Rate& rate, Work& work) {
  const FormulaId id = formulas_.check(rate.rate);
  if (id == no_formula) return;
  const Type& type = formulas_.type_of(id);
  const bool per_time =
      type.kind == Type::Kind::quantity && (type.dimension == units::number / units::time ||
                                            type.dimension == units::count / units::time);
  if (!per_time) {
    diagnostics_.error("unit-mismatch", rate.rate.span,
                       "`rate` wants a number per time, but this is " + describe(type) + ".",
                       "Such as: rate 55 per hour");
    return;
  }
  work.rate = id;
}

void StageChecker::work_item(const syntax::Time& time, Work& work) {
  work.time = formulas_.check(time.time, a_length_of_time, "`time`");
  if (!share(time.share, time.time.span, work.time_share)) work.time = no_formula;
}

void StageChecker::work_item(const syntax::Setup& setup, Work& work) {
  work.setup = formulas_.check(setup.time, a_length_of_time, "`setup`");
}

void StageChecker::work_item(const syntax::People& people, Work& work) {
  work.people = formulas_.check(people.number, Type::quantity(units::number), "`people`");
}

void StageChecker::work_item(const syntax::Crew& crew, Work& work) {
  work.crew = crew.name.text;
  work.crew_span = crew.name.span;
}

void StageChecker::work_item(const syntax::Use& written, Work& work) {
  const auto used = use(written);
  if (used) work.uses.push_back(*used);
}

void StageChecker::work_item(const syntax::Tool& tool, Work& work) {
  work.tools.push_back(tool.text.value);
}

void StageChecker::work_item(const syntax::Tag& tag, Work& work) {
  work.tags.push_back(tag.name.text);
}

void StageChecker::work_item(const syntax::Caution& caution, Work& work) {
  work.cautions.push_back(caution.text.value);
}

void StageChecker::work_item(const syntax::Record& record, Work& work) {
  if (!record.unit.text.empty() && !formulas_.unit(record.unit)) return;
  std::string unit = record.unit.text;
  // What a protocol observes is written down in the unit in which it is observed.
  if (const auto known = scope_.use_if_declared(record.name.text, Declared::Kind::observation)) {
    const Observation& observation = protocol_.observations[ObservationId(known->index)];
    if (unit.empty() && observation.has_unit) unit = observation.unit.symbol;
  }
  work.records.push_back({record.name.text, unit, record.name.span});
}

void StageChecker::work_item(const syntax::Note& note, Work& work) {
  work.notes.push_back(note.text.value);
}

void StageChecker::work_item(const syntax::NoEntry& closure, Work& work) {
  work.no_entry = formulas_.check(closure.time, a_length_of_time, "`no entry`");
  closures_.push_back(closure.span);
}

std::optional<Use> StageChecker::use(const syntax::Use& written) {
  const auto found =
      scope_.find(written.supply, {Declared::Kind::supply}, "a supply", diagnostics_);
  if (!found) return std::nullopt;
  const Supply& supply = protocol_.supplies[SupplyId(found->index)];
  Use use;
  use.supply = SupplyId(found->index);
  use.span = written.span;
  const std::optional<units::Unit> written_unit =
      written.amount->unit.text.empty() ? std::nullopt : formulas_.unit(written.amount->unit);
  if (written_unit && !written_unit->noun.empty() && !supply.unit.noun.empty() &&
      written_unit->noun != supply.unit.noun) {
    diagnostics_.error("unit-mismatch", written.amount->span,
                       "`" + supply.name + "` is counted in " + supply.unit.noun + ", not in " +
                           written_unit->noun + ".");
    return std::nullopt;
  }
  const std::string what = "`" + supply.name + "`";
  use.amount = formulas_.check(*written.amount, Type::quantity(supply.unit.dimension), what,
                               supply.unit.dimension == units::count
                                   ? std::optional<units::Unit>(supply.unit)
                                   : std::nullopt);
  if (!share(written.share, written.span, use.share) || !use_until(written, supply, use))
    return std::nullopt;
  if (written.light && !use_by_light(*written.light, supply, use)) return std::nullopt;
  if (use.amount == no_formula) return std::nullopt;
  return use;
}

/// For each plant, for so many, for each tray or the like, for an area, for a load.
bool StageChecker::share(const syntax::Share& written, const text::Span& span, Share& out) {
  out.each = written.each;
  if (!written.per) return true;
  if (written.load) {
    out.load = true;
    out.per = formulas_.check(*written.per, Type::quantity(units::count), "`per load of`");
    if (written.load->text == "plants") return out.per != no_formula;
    const auto what =
        scope_.find(*written.load, {Declared::Kind::supply}, "`plants` or a supply", diagnostics_);
    if (what) out.supply = SupplyId(what->index);
    return what && out.per != no_formula;
  }
  if (written.per->kind == syntax::Formula::Kind::name) {
    const syntax::Name& name = written.per->name;
    if (const auto tray = scope_.use_if_declared(name.text, Declared::Kind::supply)) {
      out.supply = SupplyId(tray->index);
      return true;
    }
    if (name.text == "plant") return out.each = true;
    if (name.text == "m2") {
      areas_.push_back(span);
      return out.area = true;
    }
    if (name.text == "day" || name.text == "turn" || name.text == "time") {
      diagnostics_.error("unknown-name", name.span,
                         "An amount or a time is that of each turn of the work already.",
                         "Leave out `per " + name.text + "`; `daily` in the head says how often.");
      return false;
    }
  }
  out.per = formulas_.check(*written.per, Type::quantity(units::count), "`per`");
  return out.per != no_formula;
}

bool StageChecker::use_by_light(const syntax::Formula& written, const Supply& supply, Use& use) {
  if (supply.unit.dimension == units::count) {
    diagnostics_.error("unit-mismatch", written.span,
                       "`" + supply.name + "` is counted; by light goes what is measured.",
                       "Such as: use 30 mL feed per plant at 3 mol of light");
    return false;
  }
  use.light = light_start(written);
  return use.light != no_formula;
}

bool StageChecker::use_until(const syntax::Use& written, const Supply& supply, Use& use) {
  if (!written.until) return true;
  const auto stage = scope_.find(*written.until, {Declared::Kind::stage}, "a stage", diagnostics_);
  if (!stage) return false;
  if (written.until_edge->text != "end") {
    diagnostics_.error("unknown-name", written.until_edge->span,
                       "What is borrowed comes back at the `end` of a stage.",
                       "Such as: use 1 clip each until healing.end");
    return false;
  }
  if (!supply.reused) {
    diagnostics_.error("not-reused", written.span,
                       "`" + supply.name + "` is used up, so it does not come back.",
                       "Declare it as `reused`, or take out `until`.");
    return false;
  }
  use.until = StageId(stage->index);
  return true;
}

/// The room may be named after the work that closes it.
void StageChecker::resolve_closures() {
  if (!stage().room.empty() || has_unread_) return;
  for (const text::Span& span : closures_) {
    diagnostics_.error("no-room", span,
                       "The stage names no room, so there is nothing to keep people out of.",
                       "Say where the plants stand, such as: room tunnel");
  }
}

/// The usual cautions of the hazards that the work meets, behind its own.
void StageChecker::cautions(Work& work) {
  work.own_caution = !work.cautions.empty();
  std::vector<std::string>& hazards = work.hazards;
  const auto meet = [&](const std::string& hazard) {
    if (!hazard.empty() && std::find(hazards.begin(), hazards.end(), hazard) == hazards.end()) {
      hazards.push_back(hazard);
    }
  };
  for (const Use& one : work.uses) {
    const Supply& supply = protocol_.supplies[one.supply];
    for (const std::string& hazard : supply.hazards) meet(hazard);
    if (!supply.hazards.empty() && work.cautions.empty()) {
      diagnostics_.warning("no-caution", one.span,
                           "`" + supply.name + "` is " + text::list_words(supply.hazards, "and") +
                               ", but this work gives no caution of its own.",
                           "Add a `caution` that says what people must do here; the usual one is "
                           "shown in any case.");
    }
  }
  for (const std::string& tag : work.tags) meet(std::string(hazard_of_tag(tag)));
  add_usual_cautions(hazards, work.cautions);
}

}  // namespace budwood::language
