#include "language/check/protocol_checker.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

#include "language/bases/adapt.hpp"
#include "language/check/cycle.hpp"
#include "language/check/flow_checker.hpp"
#include "language/check/hazard.hpp"
#include "language/check/titles.hpp"
#include "language/limits.hpp"
#include "language/tree/references.hpp"
#include "units/rounding.hpp"

namespace budwood::language {

namespace {

std::string value_of(const std::optional<syntax::Text>& text) {
  return text ? text->value : "";
}

/// Whether a formula looks like what a table has for a word.
bool looks_up_word(const syntax::Formula& formula) {
  return formula.kind == syntax::Formula::Kind::call && !is_function(formula.name.text) &&
         formula.arguments.size() == 1 && formula.arguments[0].kind == syntax::Formula::Kind::name;
}

}  // namespace

Protocol ProtocolChecker::check() {
  protocol_.name = written_.name.text;
  protocol_.title = title_of(written_.title, written_.name);
  protocol_.span = written_.name.span;
  protocol_.layers = written_.layers;
  if (!is_of_usual_size()) return std::move(protocol_);
  const std::size_t errors_before = diagnostics_.count(text::Severity::error);
  scope_.forgive(written_.unread_names);
  // The nouns of all supplies and observations first: any formula may count in them.
  const auto know = [&](const syntax::UnitText& unit) {
    if (!unit.text.empty() && !units::find_unit(unit.text)) formulas_.know_noun(unit.text);
  };
  for (const syntax::ProtocolItem& item : written_.items) {
    if (const auto* supply = std::get_if<syntax::Supply>(&item)) know(supply->unit);
    if (const auto* observe = std::get_if<syntax::Observe>(&item)) know(observe->unit);
    if (const auto* recipe = std::get_if<syntax::Recipe>(&item)) know(recipe->makes.unit);
  }
  declare_words();
  for (const syntax::ProtocolItem& item : written_.items) {
    std::visit(
        [this](const auto& one) {
          if (only_once(seen_, statement_of(one), span_of(one), "protocol", diagnostics_))
            declare(one);
        },
        item);
  }
  declare_made();
  resolve_lets();
  resolve_recipes();
  resolve_stages();
  resolve_requirements();
  report_unset_readings();
  // What is missing only because it could not be read would be reported as missing once more.
  if (!written_.unread_names.empty() || !flow_known_) return std::move(protocol_);
  check_flow(protocol_, diagnostics_);
  resolve_holds();
  check_shares(protocol_, diagnostics_);
  check_records(protocol_, diagnostics_);
  if (protocol_.stages.empty() && !written_.has_unread) {
    diagnostics_.error("no-stages", protocol_.span,
                       "`" + protocol_.name + "` has no stages, so nothing would ever be done.",
                       "Add a line such as: stage rooting of cutting { ... }");
  }
  // A use may stand in what could not be read.
  const bool sound = diagnostics_.count(text::Severity::error) == errors_before;
  if (sound && !written_.has_unread) report_unused();
  return std::move(protocol_);
}

/// What comes later may take time that grows faster than the text; these bounds keep it short.
bool ProtocolChecker::is_of_usual_size() {
  constexpr std::size_t most_stages = 500;
  constexpr std::size_t most_statements = 10'000;
  std::size_t stages = 0;
  std::size_t statements = written_.items.size();
  for (const syntax::ProtocolItem& item : written_.items) {
    const auto* stage = std::get_if<syntax::Stage>(&item);
    if (stage == nullptr) continue;
    ++stages;
    statements += stage->items.size();
  }
  if (stages <= most_stages && statements <= most_statements) return true;
  diagnostics_.error("too-long", protocol_.span,
                     "`" + protocol_.name +
                         "` is longer than Budwood reads: " + std::to_string(most_stages) +
                         " stages and " + std::to_string(most_statements) + " statements.",
                     "Write a protocol for each part of the work.");
  return false;
}

/// Names that formulas use for something else are refused.
void ProtocolChecker::declare_name(const syntax::Name& name, Declared::Kind kind,
                                   std::size_t index) {
  const bool in_formulas = kind != Declared::Kind::supply && kind != Declared::Kind::part &&
                           kind != Declared::Kind::observation;
  const bool taken = name.text == "batch" || name.text == "plants" || is_function(name.text);
  if (in_formulas && taken) {
    diagnostics_.error("keyword-as-name", name.span,
                       "`" + name.text + "` has a meaning of its own in formulas and cannot be " +
                           describe(kind) + ".",
                       "Choose another name, such as `my_" + name.text + "`.");
  }
  scope_.declare(name, kind, static_cast<std::int32_t>(index), diagnostics_);
}

void ProtocolChecker::declare(const syntax::Edition& edition) {
  protocol_.edition = edition.number;
}

void ProtocolChecker::declare(const syntax::Crop& crop) {
  protocol_.crop = crop.text.value;
}

void ProtocolChecker::declare(const syntax::SourceNote& source) {
  protocol_.sources.push_back(source.text.value);
}

void ProtocolChecker::declare(const syntax::Note& note) {
  protocol_.notes.push_back(note.text.value);
}

void ProtocolChecker::report_value_of_input(const syntax::Formula& value,
                                            const std::string& input) {
  diagnostics_.error("input-value", value.span,
                     "The value of an input is a written number with its unit, or what a table has "
                     "for a word.",
                     "Such as `85 %` or `55 per hour`; use `let` for what is worked out.");
  scope_.forgive({input});
}

void ProtocolChecker::declare(const syntax::Input& written) {
  Input input;
  input.name = written.name.text;
  input.title = title_of(written.title, written.name);
  if (written.source) input.source = written.source->value;
  input.span = written.name.span;
  const syntax::Formula* lowest = written.lowest ? &*written.lowest : nullptr;
  const syntax::Formula* highest = written.highest ? &*written.highest : nullptr;
  for (const syntax::Formula* one : {&written.usual, lowest, highest}) {
    if (one == nullptr || one->kind == syntax::Formula::Kind::number) continue;
    if (one == &written.usual && looks_up_word(*one)) continue;
    report_value_of_input(*one, input.name);
    return;
  }
  const auto borrowed = unit_to_borrow(formulas_, {&written.usual, highest, lowest});
  if (borrowed) input.unit = input.plain_unit = *borrowed;
  syntax::Formula usual = written.usual;
  if (borrowed && usual.unit.text.empty()) usual.unit = {borrowed->symbol, usual.span};
  input.usual = formulas_.check(usual);
  if (input.usual == no_formula) {
    scope_.forgive({input.name});
    return;
  }
  input.type = formulas_.type_of(input.usual);
  if (usual.kind == syntax::Formula::Kind::call) {
    const auto table = std::find_if(protocol_.tables.begin(), protocol_.tables.end(),
                                    [&](const Table& t) { return t.name == usual.name.text; });
    if (table == protocol_.tables.end() || table->words.empty()) {
      report_value_of_input(usual, input.name);
      return;
    }
    if (!borrowed) input.unit = input.plain_unit = table->unit;
  }
  const std::string what = "The range of `" + input.name + "`";
  if (lowest != nullptr) input.lowest = formulas_.check(*lowest, input.type, what, borrowed);
  if (highest != nullptr) input.highest = formulas_.check(*highest, input.type, what, borrowed);
  if (input.lowest != no_formula && input.highest != no_formula) {
    const double low = protocol_.node(input.lowest).value;
    const double high = protocol_.node(input.highest).value;
    const double value = protocol_.node(input.usual).value;
    if (low > high) {
      diagnostics_.error("out-of-order", lowest->span, "This range is upside down.",
                         "Write the smaller value first.");
    } else if (value < low || value > high) {
      diagnostics_.error("out-of-range", written.usual.span,
                         "The value of `" + input.name + "` lies outside its own range.");
    }
  }
  if (written.between && written.between->spread) spread(*written.between->spread, input);
  if (written.seen) evidence(written, input);
  declare_name(written.name, Declared::Kind::input, protocol_.inputs.size());
  protocol_.inputs.push_back(std::move(input));
}

void ProtocolChecker::declare(const syntax::Let& written) {
  Let let;
  let.name = written.name.text;
  let.title = title_of(written.title, written.name);
  let.span = written.name.span;
  declare_name(written.name, Declared::Kind::let, protocol_.lets.size());
  protocol_.lets.push_back(std::move(let));
}

bool ProtocolChecker::ascending(const syntax::Table& written) {
  for (std::size_t i = 1; i < written.points.size(); ++i) {
    if (!written.points[i].word.text.empty()) {
      diagnostics_.error("wrong-kind", written.points[i].span,
                         "On the left of a table stand words or numbers, not both.");
      return false;
    }
    if (written.points[i].at > written.points[i - 1].at) continue;
    diagnostics_.error("out-of-order", written.points[i].span,
                       "The points of a table go from the lowest to the highest.",
                       "Put this one in its place, or take it out if it is there twice.");
    return false;
  }
  return true;
}

namespace {

bool is_by_word(const syntax::Table& written) {
  return !written.points.empty() && !written.points.front().word.text.empty();
}

}  // namespace

/// Tables by word before all else, as the values of inputs may be looked up in them.
void ProtocolChecker::declare_words() {
  for (const syntax::ProtocolItem& item : written_.items) {
    const auto* table = std::get_if<syntax::Table>(&item);
    if (table != nullptr && is_by_word(*table)) declare_table(*table);
  }
}

void ProtocolChecker::declare(const syntax::Table& written) {
  if (!is_by_word(written)) declare_table(written);
}

/// False, with a report, where a word stands twice, or a number among words.
bool ProtocolChecker::words_of(const syntax::Table& written, Table& table) {
  if (!written.argument_unit.text.empty()) {
    diagnostics_.error("unit-mismatch", written.argument_unit.span, "Words have no unit.");
    return false;
  }
  for (const syntax::TablePoint& point : written.points) {
    if (point.word.text.empty()) {
      diagnostics_.error("wrong-kind", point.span,
                         "On the left of a table stand words or numbers, not both.");
      return false;
    }
    if (std::find(table.words.begin(), table.words.end(), point.word.text) != table.words.end()) {
      diagnostics_.error("duplicate-name", point.span,
                         "`" + point.word.text + "` stands in this table already.",
                         "Keep one of them.");
      return false;
    }
    table.words.push_back(point.word.text);
  }
  return true;
}

void ProtocolChecker::declare_table(const syntax::Table& written) {
  Table table;
  table.name = written.name.text;
  table.title = title_of(written.title, written.name);
  table.source = value_of(written.source);
  table.argument_name = written.argument.text;
  table.span = written.name.span;
  const units::Unit plain;
  const auto unit_of = [&](const syntax::UnitText& text) -> std::optional<units::Unit> {
    return text.text.empty() ? plain : formulas_.unit(text);
  };
  const auto argument = unit_of(written.argument_unit);
  const auto value = unit_of(written.value_unit);
  const bool by_word = is_by_word(written);
  const bool is_short = !by_word && written.points.size() < 2;
  if (is_short) {
    diagnostics_.error("short-table", table.span, "A table needs two points or more.");
  }
  if (!argument || !value || is_short ||
      !(by_word ? words_of(written, table) : ascending(written))) {
    scope_.forgive({table.name});
    return;
  }
  const auto type_of = [](const units::Unit& unit) {
    return unit.absolute ? Type::temperature() : Type::quantity(unit.dimension);
  };
  table.argument = type_of(*argument);
  table.result = type_of(*value);
  table.unit = *value;
  for (const syntax::TablePoint& point : written.points) {
    if (!by_word) table.at.push_back(argument->to_base(point.at));
    table.values.push_back(value->to_base(point.value));
  }
  declare_name(written.name, Declared::Kind::table, protocol_.tables.size());
  protocol_.tables.push_back(std::move(table));
}

void ProtocolChecker::declare(const syntax::Supply& written) {
  Supply supply;
  supply.name = written.name.text;
  supply.title = title_of(written.title, written.name);
  supply.reused = written.reused;
  supply.span = written.name.span;
  const auto unit = formulas_.unit(written.unit);
  if (!unit) {
    scope_.forgive({supply.name});
    return;
  }
  supply.unit = supply.plain_unit = *unit;
  if (unit->absolute || unit->dimension.is_number()) {
    diagnostics_.error("unit-mismatch", written.unit.span,
                       "A supply is counted or measured, such as `in clips` or `in L`.");
  }
  if (written.pack) {
    const FormulaId id = formulas_.check(*written.pack, Type::quantity(unit->dimension),
                                         "`pack` of `" + supply.name + "`", *unit);
    if (id != no_formula) supply.pack = protocol_.node(id).value;
    if (id != no_formula && supply.pack <= 0) {
      diagnostics_.error("out-of-range", written.pack->span, "A pack cannot be empty.");
      supply.pack = 0;
    }
  }
  if (written.scrap) {
    const FormulaId id = formulas_.check(*written.scrap, Type::quantity(units::number),
                                         "`scrap` of `" + supply.name + "`");
    if (id != no_formula) supply.scrap = protocol_.node(id).value;
    if (supply.scrap < 0 || supply.scrap >= 1) {
      diagnostics_.error("out-of-range", written.scrap->span,
                         "What is spoilt is a share from 0 % to just under 100 %.");
      supply.scrap = 0;
    }
  }
  if (written.footprint) supply.footprint = footprint(*written.footprint, supply);
  for (const auto& [hazard] : written.hazards) {
    if (usual_caution(hazard.text).empty()) {
      std::string advice = text::did_you_mean(hazard.text, hazard_names());
      if (advice.empty()) advice = "Known hazards: " + text::list_words(hazard_names()) + ".";
      diagnostics_.error("unknown-hazard", hazard.span, "There is no hazard `" + hazard.text + "`.",
                         advice);
      continue;
    }
    if (std::find(supply.hazards.begin(), supply.hazards.end(), hazard.text) ==
        supply.hazards.end()) {
      supply.hazards.push_back(hazard.text);
    }
  }
  declare_name(written.name, Declared::Kind::supply, protocol_.supplies.size());
  protocol_.supplies.push_back(std::move(supply));
}

/// In m2; 0 when it is none.
double ProtocolChecker::footprint(const syntax::Footprint& written, const Supply& supply) {
  const std::string what = "`footprint` of `" + supply.name + "`";
  if (supply.unit.dimension != units::count) {
    diagnostics_.error("unit-mismatch", written.span,
                       "`" + supply.name + "` is measured, not counted, so it has no footprint.");
    return 0;
  }
  const std::string advice = "Such as `footprint 28 cm by 54 cm`, or `footprint 0.15 m2`.";
  double area = 1;
  const Type wanted = Type::quantity(written.across ? units::length : units::area);
  for (const syntax::Formula* side : {&written.size, written.across ? &*written.across : nullptr}) {
    if (side == nullptr) continue;
    const FormulaId id = formulas_.check(*side);
    if (id == no_formula) return 0;
    const Node& node = protocol_.node(id);
    if (!alike(node.type, wanted)) {
      diagnostics_.error(
          "unit-mismatch", side->span,
          what + " wants an area, or a length by a width, but this is " + describe(node.type) + ".",
          advice);
      return 0;
    }
    area *= node.value;
  }
  if (area <= 0) {
    diagnostics_.error("out-of-range", written.span, what + " is more than nothing.", advice);
    return 0;
  }
  return area;
}

void ProtocolChecker::declare(const syntax::Part& written) {
  declare_name(written.name, Declared::Kind::part, protocol_.parts.size());
  protocol_.parts.push_back(
      {written.name.text, title_of(written.title, written.name), written.name.span});
}

void ProtocolChecker::declare(const syntax::Observe& written) {
  Observation observation;
  observation.name = written.name.text;
  observation.title = title_of(written.title, written.name);
  observation.span = written.name.span;
  observation.has_unit = !written.unit.text.empty();
  if (observation.has_unit) {
    const auto unit = formulas_.unit(written.unit);
    if (!unit) {
      scope_.forgive({observation.name});
      return;
    }
    observation.unit = *unit;
  }
  declare_name(written.name, Declared::Kind::observation, protocol_.observations.size());
  protocol_.observations.push_back(std::move(observation));
}

void ProtocolChecker::declare(const syntax::Stage& written) {
  Stage stage;
  stage.name = written.name.text;
  stage.title = title_of(written.title, written.name);
  stage.span = written.name.span;
  declare_name(written.name, Declared::Kind::stage, protocol_.stages.size());
  protocol_.stages.push_back(std::move(stage));
}

namespace {

/// The names in a formula.
void collect_names(const syntax::Formula& formula, std::vector<std::string>& names) {
  if (formula.kind == syntax::Formula::Kind::name) names.push_back(formula.name.text);
  for (const syntax::Formula& argument : formula.arguments) collect_names(argument, names);
}

}  // namespace

/// A `let` may use one that is written further down, so each is checked after those it rests on.
void ProtocolChecker::resolve_lets() {
  std::vector<const syntax::Let*> written;
  for (const syntax::ProtocolItem& item : written_.items) {
    if (const auto* let = std::get_if<syntax::Let>(&item)) written.push_back(let);
  }
  std::vector<std::pair<std::size_t, std::size_t>> arcs;
  for (std::size_t i = 0; i < written.size(); ++i) {
    std::vector<std::string> names;
    collect_names(written[i]->value, names);
    for (const std::string& name : names) {
      const Declared* found = scope_.peek(name);
      if (found == nullptr || found->kind != Declared::Kind::let) continue;
      arcs.emplace_back(i, static_cast<std::size_t>(found->index));
    }
  }
  std::vector<std::size_t> circle = find_cycle(written.size(), arcs);
  while (!circle.empty()) {
    report_let_circle(circle);
    std::erase_if(arcs, [&](const auto& arc) {
      return std::find(circle.begin(), circle.end(), arc.first) != circle.end();
    });
    circle = find_cycle(written.size(), arcs);
  }
  for (const std::size_t i : targets_first(written.size(), arcs)) {
    Let& let = protocol_.lets[i];
    let.value = formulas_.check(written[i]->value);
    if (let.value == no_formula) continue;
    let.type = formulas_.type_of(let.value);
    let.unit = formulas_.climate_unit(let.value);
  }
}

void ProtocolChecker::report_let_circle(const std::vector<std::size_t>& circle) {
  std::vector<std::string> names;
  for (const std::size_t i : circle) names.push_back(protocol_.lets[i].name);
  diagnostics_.error(
      "formula-circle", protocol_.lets[circle.front()].span,
      "These formulas rest on each other in a circle: " + describe_cycle(names, "rests on") + ".",
      "Give one of them a value of its own.");
}

PartId ProtocolChecker::find_part(const syntax::Name& name) {
  const auto found = scope_.find(name, {Declared::Kind::part}, "a part", diagnostics_);
  return found ? PartId(found->index) : PartId();
}

void ProtocolChecker::resolve_stages() {
  std::size_t index = 0;
  for (const syntax::ProtocolItem& item : written_.items) {
    const auto* written = std::get_if<syntax::Stage>(&item);
    if (written == nullptr) continue;
    const StageId id(index++);
    Stage& stage = protocol_.stages[id];
    stage.part = find_part(written->part);
    for (const syntax::Name& name : written->joined) {
      const PartId part = find_part(name);
      const bool twice =
          part.known() && (part == stage.part || std::find(stage.joined.begin(), stage.joined.end(),
                                                           part) != stage.joined.end());
      if (twice) {
        diagnostics_.error("join-of-itself", name.span,
                           "A join takes two different parts and makes a third.",
                           "Declare a part for what the join makes.");
      }
      flow_known_ = flow_known_ && part.known() && !twice;
      stage.joined.push_back(part);
    }
    flow_known_ = flow_known_ && stage.part.known() && !written->has_unread_after;
    stages_.check(*written, id);
  }
  stages_.report_unwatched();
}

void ProtocolChecker::resolve_holds() {
  std::size_t index = 0;
  for (const syntax::ProtocolItem& item : written_.items) {
    const auto* written = std::get_if<syntax::Stage>(&item);
    if (written == nullptr) continue;
    stages_.resolve_hold(*written, StageId(index));
    stages_.check_picks(StageId(index++));
  }
}

void ProtocolChecker::resolve_requirements() {
  for (const syntax::ProtocolItem& item : written_.items) {
    const auto* written = std::get_if<syntax::Requirement>(&item);
    if (written == nullptr) continue;
    Requirement requirement;
    requirement.advice = written->advice;
    requirement.condition = formulas_.check(written->condition, Type::truth(),
                                            written->advice ? "`advise`" : "`require`");
    requirement.message = formulas_.message(written->message);
    requirement.span = written->span;
    if (requirement.condition != no_formula) protocol_.requirements.push_back(requirement);
  }
}

void ProtocolChecker::declare(const syntax::Waive& written) {
  protocol_.waivers.push_back(waiver(written, StageId()));
}

namespace {

/// How a measure comes to be set.
std::string advice_to_set(Measure measure) {
  if (comes_from_mist(measure)) return "Give the stage a `mist`, or ask another stage.";
  if (measure == Measure::light_sum) {
    return "Set it there with `keep`, or set `light` and `photoperiod`, or ask another stage.";
  }
  std::vector<std::string> names;
  for (const Measure one : sources_of(measure)) names.push_back("`" + facts_of(one).name + "`");
  return "Set " + text::list_words(names, measure == Measure::vpd ? "or" : "and") +
         " there with `keep`, or ask another stage.";
}

}  // namespace

/// Only when all stages are known is it clear what they set.
void ProtocolChecker::report_unset_readings() {
  for (const Reading& reading : protocol_.readings) {
    const Stage& stage = protocol_.stages[reading.stage];
    if (sets(stage, reading.measure)) continue;
    const std::string name = facts_of(reading.measure).name;
    diagnostics_.error("unset", reading.span, "`" + stage.name + "` sets no `" + name + "`.",
                       advice_to_set(reading.measure));
  }
}

namespace {

/// What a variant's way to work refers to, and the method may only declare for it.
std::set<std::string> used_by_variants(const syntax::Protocol& written) {
  std::set<std::string> out;
  References references;
  references.name = [&](const syntax::Name& name, Refers) { out.insert(name.text); };
  for (const syntax::Protocol& variant : written.variants) {
    text::Diagnostics told_elsewhere;
    syntax::Protocol whole = adapt(written, variant, told_elsewhere);
    visit(whole, references);
  }
  return out;
}

}  // namespace

/// What comes from a base may be left unused by a change; it is no slip of whoever wrote either.
void ProtocolChecker::report_unused() {
  std::optional<std::set<std::string>> by_variants;
  for (const auto& [name, declared] : scope_.unused()) {
    if (declared.kind == Declared::Kind::stage || declared.kind == Declared::Kind::part) continue;
    if (layer_of(protocol_, declared.span) != &protocol_.layers.front()) continue;
    if (!by_variants) by_variants = used_by_variants(written_);
    if (by_variants->contains(name)) continue;
    diagnostics_.warning("unused-name", declared.span,
                         "`" + name + "` is declared but nothing uses it.",
                         "Use it or take it out.");
  }
}

}  // namespace budwood::language
