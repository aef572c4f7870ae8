#include "language/rules/rule_scope.hpp"

#include <algorithm>

#include "language/check/hazard.hpp"

namespace budwood::language {

using Kind = syntax::Selection::Kind;
using Relation = syntax::Selection::Place::Relation;

std::string describe(Kind kind) {
  return kind == Kind::stage ? "a stage" : kind == Kind::work ? "work" : "a part";
}

RuleScope::RuleScope(const Protocol& protocol, bool sampling, text::Diagnostics& diagnostics)
    : protocol_(protocol), sampling_(sampling), diagnostics_(diagnostics) {
  for (const StageId s : protocol.stages.ids()) before_.push_back(stages_before(s));
}

/// The stages that a stage comes after, because it takes their plants or waits for them.
std::vector<bool> RuleScope::stages_before(StageId stage) const {
  std::vector<bool> seen(protocol_.stages.size(), false);
  std::vector<StageId> open{stage};
  const auto meet = [&](StageId one) {
    if (!seen[one.place()]) open.push_back(one);
    seen[one.place()] = true;
  };
  while (!open.empty()) {
    const Stage& next = protocol_.stages[open.back()];
    open.pop_back();
    for (const StageId from : next.takes) meet(from);
    for (const After& after : next.after) {
      if (!after.within) meet(after.stage);
    }
  }
  return seen;
}

const Stage& RuleScope::stage(const Thing& thing) const {
  return protocol_.stages[thing.stage];
}

const Work& RuleScope::work(const Thing& thing) const {
  return stage(thing).works[thing.work];
}

bool RuleScope::bind(const syntax::Name& variable, const Thing& thing) {
  if (variables_.try_emplace(variable.text, thing).second) return true;
  diagnostics_.error("duplicate-name", variable.span,
                     "`" + variable.text + "` stands for something else already.",
                     "Choose another name.");
  return false;
}

std::optional<Thing> RuleScope::follow(const syntax::Name& name,
                                       const std::vector<syntax::Name>& members,
                                       std::size_t& used) {
  const auto found = variables_.find(name.text);
  if (found == variables_.end()) {
    std::vector<std::string> near;
    for (const auto& [known, thing] : variables_) near.push_back("`" + known + "`");
    diagnostics_.error("unknown-name", name.span,
                       "Nothing is called `" + name.text + "` in this rule.",
                       near.empty() ? "Name it with `for each`."
                                    : "Known here: " + text::list_words(near, "and") + ".");
    return std::nullopt;
  }
  Thing thing = found->second;
  for (used = 0; used < members.size(); ++used) {
    const std::string& word = members[used].text;
    if (word == "stage" && thing.kind == Kind::work) {
      thing = {Kind::stage, thing.stage, {}, stage(thing).part};
    } else if (word == "part" && thing.kind != Kind::part) {
      thing = {Kind::part, {}, {}, stage(thing).part};
    } else {
      break;
    }
  }
  return thing;
}

std::optional<Thing> RuleScope::find(const syntax::Path& path) {
  std::size_t used = 0;
  const auto thing = follow(path.name, path.members, used);
  if (thing && used < path.members.size()) {
    diagnostics_.error("unknown-name", path.members[used].span,
                       "There is no `" + path.members[used].text + "` of " + describe(thing->kind) +
                           " in which something could stand.",
                       "Such as `w.stage` or `a.part`.");
    return std::nullopt;
  }
  return thing;
}

std::vector<Thing> RuleScope::all(Kind kind) const {
  std::vector<Thing> out;
  if (kind == Kind::part) {
    for (const PartId p : protocol_.parts.ids()) out.push_back({kind, {}, {}, p});
    return out;
  }
  for (const StageId s : protocol_.stages.ids()) {
    const Stage& stage = protocol_.stages[s];
    const Thing thing{kind, s, {}, stage.part};
    if (kind == Kind::stage) out.push_back(thing);
    if (kind != Kind::work) continue;
    for (const WorkId w : stage.works.ids()) out.push_back({kind, s, w, stage.part});
  }
  return out;
}

bool RuleScope::tagged(const Thing& thing, const std::string& tag) const {
  const auto carries = [&](const Work& work) {
    return std::find(work.tags.begin(), work.tags.end(), tag) != work.tags.end();
  };
  if (thing.kind == Kind::work) return carries(work(thing));
  return std::any_of(protocol_.stages.begin(), protocol_.stages.end(), [&](const Stage& stage) {
    const bool here = thing.kind == Kind::part ? stage.part == thing.part
                                               : &stage == &protocol_.stages[thing.stage];
    return here && std::any_of(stage.works.begin(), stage.works.end(), carries);
  });
}

bool RuleScope::inside(const Thing& thing, const Thing& place) {
  if (place.kind == Kind::part) return thing.part == place.part;
  if (place.kind == Kind::stage) return thing.kind != Kind::part && thing.stage == place.stage;
  return thing.kind == Kind::work && thing.stage == place.stage && thing.work == place.work;
}

/// Whether something comes before something else; of work that is done several times, the first
/// time of the one asked for counts before another, its last time after it.
bool RuleScope::precedes(const Thing& first, const Thing& second, bool last_of_second) const {
  if (first.kind == Kind::part || second.kind == Kind::part) return false;
  if (first.stage != second.stage) {
    return before_[second.stage][first.stage.place()];
  }
  if (first.kind != Kind::work || second.kind != Kind::work || first.work == second.work) {
    return false;
  }
  const int a = days_of(work(first)).first;
  const auto days = days_of(work(second));
  const int b = last_of_second ? days.second : days.first;
  return a != b ? a < b : work(first).place < work(second).place;
}

std::optional<std::vector<Thing>> RuleScope::select(const syntax::Selection& selection) {
  std::vector<std::pair<Relation, Thing>> places;
  for (const auto& place : selection.places) {
    const auto thing = find(place.path);
    if (!thing) return std::nullopt;
    places.emplace_back(place.relation, *thing);
  }
  std::vector<Thing> out = all(selection.kind);
  if (sampling_) {
    out.erase(out.begin(), out.end() - 1);
    return out;
  }
  std::erase_if(out, [&](const Thing& one) {
    if (selection.tag && !tagged(one, selection.tag->text)) return true;
    return !std::all_of(places.begin(), places.end(), [&](const auto& place) {
      switch (place.first) {
        case Relation::before:
          return precedes(one, place.second, false);
        case Relation::after:
          return precedes(place.second, one, true);
        case Relation::in:
          break;
      }
      return inside(one, place.second);
    });
  });
  if (!spend(out.size(), selection.span)) return std::nullopt;
  return out;
}

/// Loops in loops could go on for ever.
bool RuleScope::spend(std::size_t things, const text::Span& span) {
  constexpr std::size_t most = 300'000;
  const bool within = spent_ <= most;
  spent_ += things + 1;
  if (spent_ <= most) return true;
  if (within) {
    diagnostics_.error("too-many-turns", span,
                       "This rule goes through more than Budwood works off for one protocol.",
                       "Let loops and selections inside each other pick less.");
  }
  return false;
}

std::vector<std::pair<Thing, Thing>> RuleScope::steps() const {
  std::vector<std::pair<Thing, Thing>> out;
  for (const Thing& to : all(Kind::stage)) {
    for (const StageId from : stage(to).takes) {
      out.push_back({{Kind::stage, from, {}, protocol_.stages[from].part}, to});
    }
  }
  return out;
}

namespace {

using Feature = std::pair<const char*, bool (*)(const Stage&)>;

const std::vector<Feature>& stage_features() {
  static const std::vector<Feature> all{
      {"gate", [](const Stage& s) { return s.gate.has_value(); }},
      {"work", [](const Stage& s) { return !s.works.empty(); }},
      {"room", [](const Stage& s) { return !s.room.empty(); }},
      {"space", [](const Stage& s) { return !s.space.empty(); }},
      {"season", [](const Stage& s) { return s.season.has_value(); }},
      {"loss", [](const Stage& s) { return s.loses != no_formula; }},
      {"yield", [](const Stage& s) { return s.yields != no_formula; }},
      {"join", [](const Stage& s) { return !s.joined.empty(); }},
      {"mist", [](const Stage& s) { return !s.mists.empty(); }},
      {"source", [](const Stage& s) { return !s.sources.empty(); }},
      {"note", [](const Stage& s) { return !s.notes.empty(); }},
      {"carried",
       [](const Stage& s) {
         return std::any_of(s.works.begin(), s.works.end(),
                            [](const Work& work) { return work.moves; });
       }},
      {"range", [](const Stage& s) { return s.shortest != s.longest || s.heat || s.gate; }},
  };
  return all;
}

using WorkFeature = std::pair<const char*, bool (*)(const Work&)>;

const std::vector<WorkFeature>& work_features() {
  static const std::vector<WorkFeature> all{
      {"caution", [](const Work& w) { return w.own_caution; }},
      {"crew", [](const Work& w) { return !w.crew.empty(); }},
      {"record", [](const Work& w) { return !w.records.empty(); }},
      {"tool", [](const Work& w) { return !w.tools.empty(); }},
      {"labour", [](const Work& w) { return w.rate != no_formula || w.time != no_formula; }},
      {"supplies", [](const Work& w) { return !w.uses.empty(); }},
      {"note", [](const Work& w) { return !w.notes.empty(); }},
      {"each_day",
       [](const Work& w) {
         return w.timing.kind == Timing::Kind::repeat && w.timing.interval == 1;
       }},
      {"turns", [](const Work& w) { return w.timing.kind == Timing::Kind::repeat; }},
      {"overnight", [](const Work& w) { return w.timing.hours.overnight; }},
      {"hour", [](const Work& w) { return w.timing.hours.minute >= 0; }},
      {"no_entry", [](const Work& w) { return w.no_entry != no_formula; }},
      {"hazard", [](const Work& w) { return !w.hazards.empty(); }},
  };
  return all;
}

// Features that rest on more than the stage or the work.
constexpr const char* new_room = "new_room";    // plants come from another room
constexpr const char* long_wait = "long_wait";  // they may stay on for more than two days
constexpr const char* borrowed = "borrowed";    // it takes what comes back

bool waits_long(const Protocol& protocol, const Stage& stage) {
  constexpr double most = 2 * units::seconds_a_day;
  if (stage.wait != Stage::Wait::stated || stage.longest_wait == no_formula) return false;
  return protocol.node(stage.longest_wait).value > most;
}

bool borrows(const Protocol& protocol, const Work& work) {
  return std::any_of(work.uses.begin(), work.uses.end(),
                     [&](const Use& use) { return protocol.supplies[use.supply].reused; });
}

}  // namespace

std::vector<std::string> RuleScope::features(Kind kind) {
  std::vector<std::string> out;
  if (kind == Kind::stage) {
    for (const auto& [name, has] : stage_features()) out.emplace_back(name);
    out.emplace_back(new_room);
    out.emplace_back(long_wait);
    for (const MeasureFacts& one : measures()) out.push_back(one.name);
  } else if (kind == Kind::work) {
    for (const auto& [name, has] : work_features()) out.emplace_back(name);
    out.emplace_back(borrowed);
  }
  return out;
}

std::optional<bool> RuleScope::has(const Thing& thing,
                                   const std::vector<syntax::Name>& feature) const {
  const std::string& name = feature.front().text;
  if (thing.kind == Kind::work) {
    if (feature.size() > 1) {
      const auto& hazards = hazard_names();
      if (std::find(hazards.begin(), hazards.end(), feature[1].text) == hazards.end()) {
        return std::nullopt;
      }
      const auto& met = work(thing).hazards;
      return std::find(met.begin(), met.end(), feature[1].text) != met.end();
    }
    if (name == borrowed) return borrows(protocol_, work(thing));
    for (const auto& [known, test] : work_features()) {
      if (name == known) return test(work(thing));
    }
  }
  if (thing.kind == Kind::stage) {
    for (const auto& [known, test] : stage_features()) {
      if (name == known) return test(stage(thing));
    }
    if (name == new_room) return changes_room(protocol_, stage(thing));
    if (name == long_wait) return waits_long(protocol_, stage(thing));
    if (const MeasureFacts* measure = find_measure(name)) {
      return sets(stage(thing), measure->measure);
    }
  }
  return std::nullopt;
}

std::optional<std::string> RuleScope::words(const Thing& thing, const std::string& what) const {
  if (thing.kind == Kind::part) {
    const Part& part = protocol_.parts[thing.part];
    if (what == "title") return part.title;
    if (what == "name") return part.name;
    return std::nullopt;
  }
  if (thing.kind == Kind::work) {
    if (what == "title") return work(thing).title;
    if (what == "crew") return work(thing).crew;
    return std::nullopt;
  }
  if (what == "title") return stage(thing).title;
  if (what == "name") return stage(thing).name;
  if (what == "room") return stage(thing).room;
  return std::nullopt;
}

text::Span RuleScope::place(const Thing& thing) const {
  if (thing.kind == Kind::part) return protocol_.parts[thing.part].span;
  return thing.kind == Kind::work ? work(thing).span : stage(thing).span;
}

}  // namespace budwood::language
