#include "language/tree/canonical.hpp"

#include <algorithm>

#include "calendar/calendar.hpp"
#include "digest/digest.hpp"
#include "language/tree/canonical_form.hpp"

namespace budwood::language {

namespace {

constexpr const char* protocol_form = "budwood protocol 1";
constexpr const char* rules_form = "budwood rules 1";

Threaded bound(const Form& form, std::set<std::string> threads) {
  return {form.text(), std::move(threads)};
}
Threaded independent(const Form& form) {
  return {form.text(), {}};
}

/// Each text behind the one before it.
template <typename Texts>
void add_texts(std::vector<Threaded>& out, const char* kind, const Texts& texts) {
  for (const auto& one : texts) out.push_back(bound(Form(kind).put(one), {kind}));
}

// Work

Form form_of(const syntax::Timing& timing) {
  switch (timing.kind) {
    case syntax::Timing::Kind::start:
      return Form("at_start").put(timing.within);
    case syntax::Timing::Kind::days:
      return Form("on").put(timing.days).put(timing.within);
    case syntax::Timing::Kind::repeat:
      break;
  }
  return Form("every").put(timing.interval).put(timing.from).put(timing.to).put(timing.within);
}

Form form_of(const syntax::Use& use) {
  return Form("use")
      .put(use.supply)
      .put(use.amount)
      .put(use.each)
      .put(use.per)
      .put(use.until)
      .put(use.until_edge);
}

/// A name behind `per` is mostly another supply, which is counted as far as it was used before.
bool counts_by_supply(const syntax::Use& use) {
  return use.per && use.per->kind == syntax::Formula::Kind::name;
}

std::string canonical(const syntax::Work& work) {
  std::vector<Threaded> items;
  items.push_back(independent(form_of(work.timing)));
  for (const syntax::Rate& one : work.rates)
    items.push_back(bound(Form("rate").put(one.rate), {"rate"}));
  for (const syntax::Duration& one : work.durations) {
    items.push_back(bound(Form("time").put(one.time).put(one.each), {"time"}));
  }
  for (const syntax::Duration& one : work.setups) {
    items.push_back(bound(Form("setup").put(one.time), {"setup"}));
  }
  for (const syntax::Name& one : work.crews)
    items.push_back(bound(Form("crew").put(one), {"crew"}));
  for (const syntax::People& one : work.people) {
    items.push_back(bound(Form("people").put(one.number), {"people"}));
  }
  for (const syntax::NoEntry& one : work.closures) {
    items.push_back(bound(Form("no_entry").put(one.time), {"no_entry"}));
  }
  const bool all_uses = std::any_of(work.uses.begin(), work.uses.end(), counts_by_supply);
  for (const syntax::Use& one : work.uses) {
    items.push_back(bound(form_of(one), {all_uses ? "use" : "use " + one.supply.text}));
  }
  for (const syntax::Record& one : work.records) {
    items.push_back(independent(Form("record").put(one.name).put(one.unit)));
  }
  for (const syntax::Name& one : work.tags) items.push_back(independent(Form("tagged").put(one)));
  add_texts(items, "tool", work.tools);
  add_texts(items, "caution", work.cautions);
  add_texts(items, "note", work.notes);
  return Form("do").put(work.title).lines(in_order(items)).text();
}

// Statements of a stage. Each is bound to what it must not change places with.

Threaded item(const syntax::After& one) {
  return bound(Form("after").put(one.stage).put(one.by), {"after"});
}
Threaded item(const syntax::Takes& one) {
  return bound(Form("takes").put(one.stage), {"takes"});
}
Threaded item(const syntax::StartsWithin& one) {
  return independent(Form("starts_within").put(one.range).put(one.stage).put(one.edge));
}
Form form_of(const syntax::SeasonDay& day) {
  const auto known = calendar::year_day(static_cast<unsigned>(day.day), day.month.text);
  Form out("day");
  return known ? out.put(day.day).put(static_cast<int>(known->month))
               : out.put(day.day).put(day.month);
}
Threaded item(const syntax::Season& one) {
  return bound(Form("season").put(form_of(one.first)).put(form_of(one.last)), {"season"});
}
Threaded item(const syntax::Gate& one) {
  return bound(Form("until").put(one.condition).put(one.at_most), {"until"});
}
Threaded item(const syntax::Room& one) {
  return bound(Form("room").put(one.name), {"room"});
}
Threaded item(const syntax::Space& one) {
  return bound(Form("space").put(one.amount).put(one.unit), {"space"});
}
Threaded item(const syntax::Lasts& one) {
  Form out("lasts");
  out.put(one.range).put(one.usually);
  if (one.heat) {
    out.put(Form("above").put(one.heat->base).put(one.heat->upper).put(one.heat->method));
  }
  return bound(out, {"lasts"});
}
Threaded item(const syntax::Wait& one) {
  return bound(Form("wait").put(one.most), {"wait"});
}
Threaded item(const syntax::Loses& one) {
  return bound(Form("loses").put(one.share), {"loses"});
}
Threaded item(const syntax::Yields& one) {
  return bound(Form("yields").put(one.number), {"yields"});
}
Threaded item(const syntax::Discard& one) {
  return bound(Form("discard").put(one.what), {"discard"});
}
Threaded item(const syntax::Whole& one) {
  return bound(Form("in_whole").put(one.supply), {"in_whole"});
}
Threaded item(const syntax::Minimum& one) {
  return bound(Form("minimum").put(one.plants), {"minimum"});
}

const char* word_of(syntax::Half half) {
  return half == syntax::Half::both ? "all_day" : half == syntax::Half::day ? "by_day" : "by_night";
}
const char* word_of(syntax::Bound kind) {
  switch (kind) {
    case syntax::Bound::exact:
      return "exactly";
    case syntax::Bound::range:
      return "between";
    case syntax::Bound::at_least:
      return "at_least";
    case syntax::Bound::at_most:
      return "at_most";
  }
  return "";
}

Threaded item(const syntax::Setting& one) {
  Form out(one.last ? "taper" : "keep");
  out.put(one.name).word(word_of(one.bound)).put(one.first).put(one.last).put(one.high);
  out.put(one.hours).word(word_of(one.half)).put(one.days).put(one.steps);
  return bound(out, {"setting " + one.name.text});
}
Threaded item(const syntax::Mist& one) {
  Form out(one.taper ? "taper_mist" : "mist");
  out.put(one.pulse).put(one.pulse_last).put(one.every).put(one.every_last);
  out.put(one.from_minute).put(one.to_minute).put(one.days).put(one.steps);
  return bound(out, {"mist"});
}
Threaded item(const syntax::Work& one) {
  return {canonical(one), {"do"}};
}
Threaded item(const syntax::Note& one) {
  return bound(Form("note").put(one.text), {"note"});
}
Threaded item(const syntax::SourceNote& one) {
  return bound(Form("source").put(one.text), {"source"});
}
Threaded item(const syntax::Requirement& one) {
  return independent(Form(one.advice ? "advise" : "require").put(one.condition).put(one.message));
}
Threaded item(const syntax::Conditional& one) {
  std::vector<std::string> works;
  for (const syntax::Work& work : one.works) works.push_back(canonical(work));
  return bound(Form("if").put(one.condition).put(one.day).put(one.warnings).lines(works), {"if"});
}
Threaded item(const syntax::Waive& one) {
  return independent(Form("waive").put(one.set).put(one.rule).put(one.reason));
}

std::vector<std::string> stage_items(const syntax::Stage& stage) {
  std::vector<Threaded> items;
  for (const syntax::StageItem& one : stage.items) {
    items.push_back(std::visit([](const auto& statement) { return item(statement); }, one));
  }
  return in_order(items);
}

// Statements of a protocol

std::string part_thread(const syntax::Stage& stage) {
  return "part " + stage.part.text;
}

Threaded item(const syntax::Stage& one) {
  Form out("stage");
  out.put(one.name).put(one.title).put(one.part).put(one.joined);
  return bound(out.lines(stage_items(one)), {part_thread(one)});
}
Threaded item(const syntax::Repeat& one) {
  std::vector<Threaded> stages;
  std::set<std::string> parts;
  for (const syntax::Stage& stage : one.stages) {
    stages.push_back(item(stage));
    parts.insert(part_thread(stage));
  }
  return bound(Form("repeat").put(one.times).lines(in_order(stages)), std::move(parts));
}
Threaded item(const syntax::Edition& one) {
  return bound(Form("edition").put(one.number), {"edition"});
}
Threaded item(const syntax::Crop& one) {
  return bound(Form("crop").put(one.text), {"crop"});
}
Threaded item(const syntax::Input& one) {
  Form out("input");
  out.put(one.name).put(one.usual).put(one.lowest).put(one.highest);
  return independent(out.put(one.good).put(one.seen).put(one.title));
}
Threaded item(const syntax::Let& one) {
  return independent(Form("let").put(one.name).put(one.value).put(one.title));
}
Threaded item(const syntax::Table& one) {
  Form points("points");
  for (const syntax::TablePoint& point : one.points) points.put(point.at).put(point.value);
  Form out("table");
  out.put(one.name).put(one.title).put(one.argument).put(one.argument_unit).put(one.value_unit);
  return independent(out.put(points).put(one.source));
}
Threaded item(const syntax::Supply& one) {
  std::vector<Threaded> hazards;
  for (const syntax::Name& hazard : one.hazards) {
    hazards.push_back(independent(Form("hazard").put(hazard)));
  }
  Form out("supply");
  out.put(one.name).put(one.title).put(one.unit).put(one.pack).put(one.scrap).put(one.reused);
  return independent(out.lines(in_order(hazards)));
}
Threaded item(const syntax::Part& one) {
  return independent(Form("part").put(one.name).put(one.title));
}
Threaded item(const syntax::Observe& one) {
  return independent(Form("observe").put(one.name).put(one.unit).put(one.title));
}

// Rules

Form form_of(const syntax::ForEach& loop) {
  std::vector<Threaded> inner;
  for (const syntax::ForEach& one : loop.inner) inner.push_back(independent(form_of(one)));
  for (const syntax::Requirement& one : loop.requirements) inner.push_back(item(one));
  Form out(loop.steps ? "for_each_step" : "for_each");
  if (loop.steps) {
    out.put(loop.from).put(loop.to);
  } else {
    out.put(loop.selection);
  }
  return out.put(loop.where).lines(in_order(inner));
}

Threaded item(const syntax::Rule& rule) {
  std::vector<Threaded> items;
  add_texts(items, "source", rule.sources);
  add_texts(items, "note", rule.notes);
  for (const syntax::ForEach& one : rule.loops) items.push_back(independent(form_of(one)));
  for (const syntax::Requirement& one : rule.requirements) items.push_back(item(one));
  return independent(Form("rule").put(rule.name).put(rule.title).lines(in_order(items)));
}

}  // namespace

std::string canonical_text(const syntax::Protocol& protocol) {
  std::vector<Threaded> items;
  for (const syntax::ProtocolItem& one : protocol.items) {
    items.push_back(std::visit([](const auto& statement) { return item(statement); }, one));
  }
  Form out("protocol");
  out.put(protocol.name).put(protocol.title).lines(in_order(items));
  return std::string(protocol_form) + "\n" + out.text() + "\n";
}

std::string canonical_text(const syntax::Rules& rules) {
  std::vector<Threaded> items;
  if (rules.edition) items.push_back(item(*rules.edition));
  add_texts(items, "source", rules.sources);
  add_texts(items, "note", rules.notes);
  for (const syntax::Rule& one : rules.rules) items.push_back(item(one));
  Form out("rules");
  out.put(rules.name).put(rules.title).lines(in_order(items));
  return std::string(rules_form) + "\n" + out.text() + "\n";
}

std::string canonical_text(const syntax::Formula& formula) {
  return Form("formula").put(formula).text();
}

std::string fingerprint(const syntax::Protocol& protocol) {
  return digest::sha256(canonical_text(protocol));
}

std::string fingerprint(const syntax::Rules& rules) {
  return digest::sha256(canonical_text(rules));
}

}  // namespace budwood::language
