#include "share/facets.hpp"

#include "share/editions.hpp"

namespace budwood::share {

namespace {

using language::FormulaId;
using language::no_formula;
using language::Protocol;

Said text(const std::string& words) {
  return Said().add(words);
}
Said quoted(const std::string& words) {
  return Said().quoted(words);
}

/// Adds what is said at all.
void add(Thing& thing, std::string about, std::string lead, Said said) {
  if (said.empty()) return;
  thing.facets.push_back({std::move(about), std::move(lead), std::move(said)});
}

void add_formula(Thing& thing, const Told& told, std::string about, std::string lead,
                 FormulaId formula) {
  if (formula != no_formula)
    add(thing, std::move(about), std::move(lead), Said().formula(told, formula));
}

/// Each text stands for itself: a changed one is a new one and one that is gone.
void add_texts(Thing& thing, const std::string& kind, const std::vector<std::string>& texts) {
  for (const std::string& one : texts) add(thing, kind + " " + one, kind + " ", quoted(one));
}

Thing input_thing(const Told& told, const language::Input& input) {
  Thing out{"input", input.name, "input `" + input.name + "`"};
  add(out, "value", "is ", Said().formula(told, input.usual, input.unit));
  if (input.lowest != no_formula) {
    add(out, "range", "may be ",
        Said()
            .formula(told, input.lowest, input.unit)
            .add(" to ")
            .formula(told, input.highest, input.unit));
  }
  if (input.seen > 0) {
    Said said = Said().number(input.good).add(" of ").number(input.seen);
    if (input.batches > 0) {
      said.add(" in ").number(input.batches).add(input.batches == 1 ? " batch" : " batches");
    }
    add(out, "evidence", "rests on ", said);
  }
  if (input.likeness > 0) {
    const double spread =
        language::spread_of(told.protocol.node(input.usual).value, input.likeness);
    add(out, "spread", "differs between batches by ",
        Said().add(units::format(spread, *units::find_unit("%"), 4),
                   units::format_number(input.likeness)));
  }
  if (!input.title.empty()) add(out, "title", "is called ", quoted(input.title));
  if (!input.source.empty()) add(out, "source", "comes from ", quoted(input.source));
  return out;
}

Thing table_thing(const language::Table& table) {
  Thing out{"table", table.name, "table `" + table.name + "`"};
  Said points;
  for (std::size_t i = 0; i < table.values.size(); ++i) {
    if (i > 0) points.add(", ");
    if (table.words.empty()) {
      points.value(table.at[i], units::usual_unit(table.argument.dimension, table.at[i]));
    } else {
      points.ticked(table.words[i]);
    }
    points.add(": ").value(table.values[i],
                           units::usual_unit(table.result.dimension, table.values[i]));
  }
  add(out, "points", "has ", points);
  add(out, "argument", "is looked up by ", Said().ticked(table.argument_name));
  if (!table.title.empty()) add(out, "title", "is called ", quoted(table.title));
  if (!table.source.empty()) add(out, "source", "is after ", quoted(table.source));
  return out;
}

Thing supply_thing(const language::Supply& supply) {
  Thing out{"supply", supply.name, "supply `" + supply.name + "`"};
  if (!supply.title.empty()) add(out, "title", "is called ", quoted(supply.title));
  add(out, "unit", "is in ", text(supply.unit.symbol));
  if (supply.pack > 0)
    add(out, "pack", "is bought in packs of ", Said().value(supply.pack, supply.unit));
  if (supply.scrap > 0) {
    add(out, "scrap", "is spoilt: ", Said().value(supply.scrap, *units::find_unit("%")));
  }
  if (supply.footprint > 0) {
    add(out, "footprint", "takes up ",
        Said().value(supply.footprint, units::usual_unit(units::area, supply.footprint)));
  }
  if (supply.reused) add(out, "reused", "", text("comes back"));
  for (const std::string& hazard : supply.hazards) {
    add(out, "hazard " + hazard, "hazard: ", text(hazard));
  }
  return out;
}

/// A length of time as people would say it.
Said time_said(double seconds) {
  return Said().value(seconds, units::usual_unit(units::time, seconds));
}

Thing recipe_thing(const Told& told, const language::Recipe& recipe) {
  const Protocol& protocol = told.protocol;
  const language::Supply& made = protocol.supplies[recipe.supply];
  Thing out{"recipe", made.name, "recipe of `" + made.name + "`"};
  add(out, "title", "is called ", quoted(recipe.title));
  add(out, "makes", "makes ", Said().value(recipe.makes, made.unit));
  add(out, "vessel", "is made in vessels of ", Said().value(recipe.vessel, made.unit));
  if (recipe.ec > 0) add(out, "ec", "is at ", Said().value(recipe.ec, *units::find_unit("mS/cm")));
  if (recipe.ph > 0) add(out, "ph", "has a pH of ", Said().number(recipe.ph));
  if (recipe.keeps) add(out, "keeps", "keeps ", time_said(*recipe.keeps));
  if (recipe.before > 0) {
    add(out, "before", "is made ", text(calendar::days_text(recipe.before) + " before"));
  }
  for (const language::Recipe::Ingredient& one : recipe.of) {
    const language::Supply& supply = protocol.supplies[one.supply];
    add(out, "use " + supply.name, "is made of ",
        Said().value(one.amount, supply.unit).add(" ").ticked(supply.name));
  }
  if (recipe.time > 0) add(out, "time", "takes ", time_said(recipe.time));
  if (recipe.setup > 0) add(out, "setup", "is set up in ", time_said(recipe.setup));
  if (recipe.people) add(out, "people", "is made by ", Said().number(*recipe.people));
  if (!recipe.crew.empty()) add(out, "crew", "is made by ", Said().ticked(recipe.crew));
  add_texts(out, "tool", recipe.tools);
  add_texts(out, "caution", recipe.cautions);
  add_texts(out, "note", recipe.notes);
  return out;
}

/// In quotes, with the names of values in braces.
Said message_of(const Told& told, const language::Requirement& requirement) {
  Said out;
  out.add("\"");
  for (const language::Requirement::Piece& piece : requirement.message) {
    out.add(piece.text);
    if (piece.value != no_formula) out.add("{").formula(told, piece.value).add("}");
  }
  return out.add("\"");
}

/// A requirement has no name: it is found by its condition.
Thing requirement_thing(const Told& told, const language::Requirement& requirement) {
  const Said condition = Said().formula(told, requirement.condition);
  const std::string where =
      requirement.stage == language::Node::of_batch ? "" : told.stage(requirement.stage) + ": ";
  Thing out{
      "requirement", where + condition.exact(),
      std::string(requirement.advice ? "advice" : "requirement") + " `" + condition.shown() + "`"};
  add(out, "strength", "is ", text(requirement.advice ? "advice" : "a requirement"));
  add(out, "message", "says ", message_of(told, requirement));
  return out;
}

Thing waiver_thing(const Told& told, const language::Waiver& waiver) {
  const std::string rule = waiver.set.empty() ? waiver.rule : waiver.set + "." + waiver.rule;
  const std::string stage =
      waiver.stage == language::Node::of_batch ? "" : told.stage(waiver.stage);
  Thing out{"waiver", rule + " " + stage,
            "waiver of `" + rule + "`" + (stage.empty() ? "" : " in `" + stage + "`")};
  add(out, "reason", "because ", quoted(waiver.reason));
  return out;
}

}  // namespace

std::string Thing::exact() const {
  std::string out = kind;
  const auto put = [&](const std::string& about, const Said& said) {
    out += "\n" + about + " = " + said.exact();
  };
  for (const Facet& facet : facets) put(facet.about, facet.said);
  for (const FacetGroup& group : groups) put(group.about, group.whole);
  for (const Thing& work : works) out += "\n" + work.name + "\n" + work.exact();
  return out;
}

Thing facts_of(const Told& told) {
  const Protocol& protocol = told.protocol;
  Thing out{"protocol", "", ""};
  add(out, "name", "is named ", Said().ticked(protocol.name));
  add(out, "edition", "is edition ", text(std::to_string(protocol.edition)));
  if (!protocol.title.empty()) add(out, "title", "is called ", quoted(protocol.title));
  if (!protocol.crop.empty()) add(out, "crop", "is for ", text(protocol.crop));
  for (const language::Layer& layer : bases_of(protocol)) {
    add(out, "base " + layer.name, "rests on `" + layer.name + "` ",
        text("edition " + std::to_string(layer.edition)));
  }
  add_texts(out, "source", protocol.sources);
  add_texts(out, "note", protocol.notes);
  return out;
}

std::vector<Thing> declarations_of(const Told& told) {
  const Protocol& protocol = told.protocol;
  std::vector<Thing> out;
  for (const language::Input& one : protocol.inputs) out.push_back(input_thing(told, one));
  for (const language::Let& one : protocol.lets) {
    Thing thing{"let", one.name, "`let " + one.name + "`"};
    add_formula(thing, told, "value", "is ", one.value);
    if (!one.title.empty()) add(thing, "title", "is called ", quoted(one.title));
    out.push_back(std::move(thing));
  }
  for (const language::Table& one : protocol.tables) out.push_back(table_thing(one));
  for (const language::Supply& one : protocol.supplies) out.push_back(supply_thing(one));
  for (const language::Recipe& one : protocol.recipes) out.push_back(recipe_thing(told, one));
  for (const language::Part& one : protocol.parts) {
    Thing thing{"part", one.name, "part `" + one.name + "`"};
    if (!one.title.empty()) add(thing, "title", "is called ", quoted(one.title));
    out.push_back(std::move(thing));
  }
  for (const language::Observation& one : protocol.observations) {
    Thing thing{"observation", one.name, "observation `" + one.name + "`"};
    add(thing, "unit", "is ", text(one.has_unit ? "in " + one.unit.symbol : "seen or not"));
    if (!one.title.empty()) add(thing, "title", "is called ", quoted(one.title));
    out.push_back(std::move(thing));
  }
  for (const language::Requirement& one : protocol.requirements) {
    // What rules ask for is no part of the protocol.
    if (one.rule.empty()) out.push_back(requirement_thing(told, one));
  }
  for (const language::Waiver& one : protocol.waivers) out.push_back(waiver_thing(told, one));
  return out;
}

}  // namespace budwood::share
