#include "language/canonical.hpp"

#include <algorithm>

#include "calendar/calendar.hpp"
#include "digest/digest.hpp"
#include "language/canonical_form.hpp"

namespace budwood::language {

namespace {

using namespace syntax;

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

Form form_of(const Timing& timing) {
  switch (timing.kind) {
    case Timing::Kind::start:
      return Form("at_start").put(timing.within);
    case Timing::Kind::days:
      return Form("on").put(timing.days).put(timing.within);
    case Timing::Kind::repeat:
      break;
  }
  return Form("every").put(timing.interval).put(timing.from).put(timing.to).put(timing.within);
}

Form form_of(const Use& use) {
  return Form("use")
      .put(use.supply)
      .put(use.amount)
      .put(use.each)
      .put(use.per)
      .put(use.until)
      .put(use.until_edge);
}

/// A name behind `per` is mostly another supply, which is counted as far as it was used before.
bool counts_by_supply(const Use& use) {
  return use.per && use.per->kind == Formula::Kind::name;
}

std::string canonical(const Work& work) {
  std::vector<Threaded> items;
  items.push_back(independent(form_of(work.timing)));
  for (const Rate& one : work.rates) items.push_back(bound(Form("rate").put(one.rate), {"rate"}));
  for (const Duration& one : work.durations) {
    items.push_back(bound(Form("time").put(one.time).put(one.each), {"time"}));
  }
  for (const Duration& one : work.setups) {
    items.push_back(bound(Form("setup").put(one.time), {"setup"}));
  }
  for (const Name& one : work.crews) items.push_back(bound(Form("crew").put(one), {"crew"}));
  for (const People& one : work.people) {
    items.push_back(bound(Form("people").put(one.number), {"people"}));
  }
  for (const NoEntry& one : work.closures) {
    items.push_back(bound(Form("no_entry").put(one.time), {"no_entry"}));
  }
  const bool all_uses = std::any_of(work.uses.begin(), work.uses.end(), counts_by_supply);
  for (const Use& one : work.uses) {
    items.push_back(bound(form_of(one), {all_uses ? "use" : "use " + one.supply.text}));
  }
  for (const Record& one : work.records) {
    items.push_back(independent(Form("record").put(one.name).put(one.unit)));
  }
  for (const Name& one : work.tags) items.push_back(independent(Form("tagged").put(one)));
  add_texts(items, "tool", work.tools);
  add_texts(items, "caution", work.cautions);
  add_texts(items, "note", work.notes);
  return Form("do").put(work.title).lines(in_order(items)).text();
}

// Statements of a stage. Each is bound to what it must not change places with.

Threaded item(const After& one) {
  return bound(Form("after").put(one.stage).put(one.by), {"after"});
}
Threaded item(const Takes& one) {
  return bound(Form("takes").put(one.stage), {"takes"});
}
Threaded item(const StartsWithin& one) {
  return independent(Form("starts_within").put(one.range).put(one.stage).put(one.edge));
}
Form form_of(const SeasonDay& day) {
  const auto known = calendar::year_day(static_cast<unsigned>(day.day), day.month.text);
  Form out("day");
  return known ? out.put(day.day).put(static_cast<int>(known->month))
               : out.put(day.day).put(day.month);
}
Threaded item(const Season& one) {
  return bound(Form("season").put(form_of(one.first)).put(form_of(one.last)), {"season"});
}
Threaded item(const Gate& one) {
  return bound(Form("until").put(one.condition).put(one.at_most), {"until"});
}
Threaded item(const Room& one) {
  return bound(Form("room").put(one.name), {"room"});
}
Threaded item(const Space& one) {
  return bound(Form("space").put(one.amount).put(one.unit), {"space"});
}
Threaded item(const Lasts& one) {
  Form out("lasts");
  out.put(one.range).put(one.usually);
  if (one.heat) {
    out.put(Form("above").put(one.heat->base).put(one.heat->upper).put(one.heat->method));
  }
  return bound(out, {"lasts"});
}
Threaded item(const Wait& one) {
  return bound(Form("wait").put(one.most), {"wait"});
}
Threaded item(const Loses& one) {
  return bound(Form("loses").put(one.share), {"loses"});
}
Threaded item(const Yields& one) {
  return bound(Form("yields").put(one.number), {"yields"});
}
Threaded item(const Discard& one) {
  return bound(Form("discard").put(one.what), {"discard"});
}
Threaded item(const Whole& one) {
  return bound(Form("in_whole").put(one.supply), {"in_whole"});
}
Threaded item(const Minimum& one) {
  return bound(Form("minimum").put(one.plants), {"minimum"});
}

const char* word_of(Half half) {
  return half == Half::both ? "all_day" : half == Half::day ? "by_day" : "by_night";
}
const char* word_of(Bound kind) {
  switch (kind) {
    case Bound::exact:
      return "exactly";
    case Bound::range:
      return "between";
    case Bound::at_least:
      return "at_least";
    case Bound::at_most:
      return "at_most";
  }
  return "";
}

Threaded item(const Setting& one) {
  Form out(one.last ? "taper" : "keep");
  out.put(one.name).word(word_of(one.bound)).put(one.first).put(one.last).put(one.high);
  out.put(one.hours).word(word_of(one.half)).put(one.days).put(one.steps);
  return bound(out, {"setting " + one.name.text});
}
Threaded item(const Mist& one) {
  Form out(one.taper ? "taper_mist" : "mist");
  out.put(one.pulse).put(one.pulse_last).put(one.every).put(one.every_last);
  out.put(one.from_minute).put(one.to_minute).put(one.days).put(one.steps);
  return bound(out, {"mist"});
}
Threaded item(const Work& one) {
  return {canonical(one), {"do"}};
}
Threaded item(const Note& one) {
  return bound(Form("note").put(one.text), {"note"});
}
Threaded item(const SourceNote& one) {
  return bound(Form("source").put(one.text), {"source"});
}
Threaded item(const Requirement& one) {
  return independent(
      Form(one.advice ? "advise" : "require").put(one.condition).put(one.message));
}
Threaded item(const Conditional& one) {
  std::vector<std::string> works;
  for (const Work& work : one.works) works.push_back(canonical(work));
  return bound(Form("if").put(one.condition).put(one.day).put(one.warnings).lines(works), {"if"});
}
Threaded item(const Waive& one) {
  return independent(Form("waive").put(one.set).put(one.rule).put(one.reason));
}

std::vector<std::string> stage_items(const Stage& stage) {
  std::vector<Threaded> items;
  for (const StageItem& one : stage.items) {
    items.push_back(std::visit([](const auto& statement) { return item(statement); }, one));
  }
  return in_order(items);
}

// Statements of a protocol

std::string part_thread(const Stage& stage) {
  return "part " + stage.part.text;
}

Threaded item(const Stage& one) {
  Form out("stage");
  out.put(one.name).put(one.title).put(one.part).put(one.joined);
  return bound(out.lines(stage_items(one)), {part_thread(one)});
}
Threaded item(const Repeat& one) {
  std::vector<Threaded> stages;
  std::set<std::string> parts;
  for (const Stage& stage : one.stages) {
    stages.push_back(item(stage));
    parts.insert(part_thread(stage));
  }
  return bound(Form("repeat").put(one.times).lines(in_order(stages)), std::move(parts));
}
Threaded item(const Edition& one) {
  return bound(Form("edition").put(one.number), {"edition"});
}
Threaded item(const Crop& one) {
  return bound(Form("crop").put(one.text), {"crop"});
}
Threaded item(const Input& one) {
  Form out("input");
  out.put(one.name).put(one.usual).put(one.lowest).put(one.highest);
  return independent(out.put(one.good).put(one.seen).put(one.title));
}
Threaded item(const Let& one) {
  return independent(Form("let").put(one.name).put(one.value).put(one.title));
}
Threaded item(const Table& one) {
  Form points("points");
  for (const TablePoint& point : one.points) points.put(point.at).put(point.value);
  Form out("table");
  out.put(one.name).put(one.title).put(one.argument).put(one.argument_unit).put(one.value_unit);
  return independent(out.put(points).put(one.source));
}
Threaded item(const Supply& one) {
  std::vector<Threaded> hazards;
  for (const Name& hazard : one.hazards) {
    hazards.push_back(independent(Form("hazard").put(hazard)));
  }
  Form out("supply");
  out.put(one.name).put(one.title).put(one.unit).put(one.pack).put(one.scrap).put(one.reused);
  return independent(out.lines(in_order(hazards)));
}
Threaded item(const Part& one) {
  return independent(Form("part").put(one.name).put(one.title));
}
Threaded item(const Observe& one) {
  return independent(Form("observe").put(one.name).put(one.unit).put(one.title));
}

// Rules

Form form_of(const ForEach& loop) {
  std::vector<Threaded> inner;
  for (const ForEach& one : loop.inner) inner.push_back(independent(form_of(one)));
  for (const Requirement& one : loop.requirements) inner.push_back(item(one));
  Form out(loop.steps ? "for_each_step" : "for_each");
  if (loop.steps) {
    out.put(loop.from).put(loop.to);
  } else {
    out.put(loop.selection);
  }
  return out.put(loop.where).lines(in_order(inner));
}

Threaded item(const Rule& rule) {
  std::vector<Threaded> items;
  add_texts(items, "source", rule.sources);
  add_texts(items, "note", rule.notes);
  for (const ForEach& one : rule.loops) items.push_back(independent(form_of(one)));
  for (const Requirement& one : rule.requirements) items.push_back(item(one));
  return independent(Form("rule").put(rule.name).put(rule.title).lines(in_order(items)));
}

}  // namespace

std::string canonical_text(const Protocol& protocol) {
  std::vector<Threaded> items;
  for (const ProtocolItem& one : protocol.items) {
    items.push_back(std::visit([](const auto& statement) { return item(statement); }, one));
  }
  Form out("protocol");
  out.put(protocol.name).put(protocol.title).lines(in_order(items));
  return std::string(protocol_form) + "\n" + out.text() + "\n";
}

std::string canonical_text(const Rules& rules) {
  std::vector<Threaded> items;
  if (rules.edition) items.push_back(item(*rules.edition));
  add_texts(items, "source", rules.sources);
  add_texts(items, "note", rules.notes);
  for (const Rule& one : rules.rules) items.push_back(item(one));
  Form out("rules");
  out.put(rules.name).put(rules.title).lines(in_order(items));
  return std::string(rules_form) + "\n" + out.text() + "\n";
}

std::string fingerprint(const Protocol& protocol) {
  return digest::sha256(canonical_text(protocol));
}

std::string fingerprint(const Rules& rules) {
  return digest::sha256(canonical_text(rules));
}

}  // namespace budwood::language
