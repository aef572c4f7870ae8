#include <utility>

#include "language/parse/tree_builder.hpp"

namespace budwood::language {

syntax::Work TreeBuilder::work(P::WorkContext* context) {
  syntax::Work work;
  P::WorkHeadContext* head = context->workHead();
  work.title = text_of(head->STRING());
  work.span = places_.span(context->DO()->getSymbol(), head->stop);
  work.timing = timing(head->timing());
  hours(head->hour(), work.timing);
  work.items = work_items(context->workBody());
  return work;
}

std::vector<syntax::WorkItem> TreeBuilder::work_items(P::WorkBodyContext* body) {
  std::vector<syntax::WorkItem> items;
  if (body == nullptr) return items;
  for (P::WorkItemContext* item : body->workItem()) work_item(item, items);
  return items;
}

syntax::Timing TreeBuilder::timing(P::TimingContext* context) {
  syntax::Timing timing;
  if (context == nullptr) return timing;
  timing.span = places_.span(context);
  if (context->ON() != nullptr) {
    timing.kind = syntax::Timing::Kind::days;
    for (P::DayRefContext* day : context->dayRef()) timing.days.push_back(day_ref(day));
  } else if (context->BETWEEN() != nullptr) {
    timing.kind = syntax::Timing::Kind::between;
    timing.from = day_ref(context->dayRef(0));
    timing.to = day_ref(context->dayRef(1));
  } else if (context->EVERY() != nullptr) {
    timing.kind = syntax::Timing::Kind::repeat;
    timing.interval = quantity(context->quantity());
    repeat_span(context->repeatSpan(), timing);
  } else if (context->DAILY() != nullptr) {
    timing.kind = syntax::Timing::Kind::repeat;
    repeat_span(context->repeatSpan(), timing);
  }
  return timing;
}

void TreeBuilder::repeat_span(P::RepeatSpanContext* context, syntax::Timing& timing) {
  if (context == nullptr) return;
  std::size_t next = 0;
  if (context->FROM() != nullptr) timing.from = day_ref(context->dayRef(next++));
  if (next < context->dayRef().size()) timing.to = day_ref(context->dayRef(next));
}

/// Each is said once, but works that it comes after.
void TreeBuilder::hours(const std::vector<P::HourContext*>& said, syntax::Timing& timing) {
  syntax::Hours& hours = timing.hours;
  for (P::HourContext* one : said) {
    bool again = false;
    if (one->within() != nullptr) {
      again = timing.within.has_value();
      timing.within = quantity(one->within()->quantity());
    } else if (one->AFTER() != nullptr) {
      hours.after.push_back(text_of(one->STRING()));
    } else if (one->AT() != nullptr) {
      again = hours.minute || hours.part;
      hours.minute = minute_of_day(one->TIME());
    } else if (one->IN() != nullptr) {
      again = hours.minute || hours.part;
      hours.part = name(one->NAME(1));
      if (one->NAME(0)->getText() != "the") hours.part->text.clear();
    } else if (one->FIRST() != nullptr) {
      again = std::exchange(hours.first, true);
    } else {
      again = std::exchange(hours.overnight, true);
    }
    if (one->within() == nullptr && hours.span.source == nullptr) hours.span = places_.span(one);
    if (again) {
      diagnostics_.error("duplicate-statement", places_.span(one),
                         "This is said already in the head of this work.", "Keep one of them.");
    }
  }
}

void TreeBuilder::work_item(P::WorkItemContext* item, std::vector<syntax::WorkItem>& items) {
  if (broken(item)) {
    unread_ = true;
    return;
  }
  if (auto* rate_rule = item->rate()) {
    items.emplace_back(syntax::Rate{formula(rate_rule->formula()), places_.span(rate_rule)});
  } else if (auto* duration_rule = item->duration()) {
    items.emplace_back(time(duration_rule));
  } else if (auto* setup_rule = item->setup()) {
    items.emplace_back(syntax::Setup{formula(setup_rule->formula()), places_.span(setup_rule)});
  } else if (auto* crew_rule = item->crew()) {
    items.emplace_back(syntax::Crew{name(crew_rule->name())});
  } else if (auto* people_rule = item->people()) {
    items.emplace_back(syntax::People{formula(people_rule->formula()), places_.span(people_rule)});
  } else if (auto* use_rule = item->use()) {
    items.emplace_back(use(use_rule));
  } else if (auto* tool_rule = item->tool()) {
    items.emplace_back(syntax::Tool{text_of(tool_rule->STRING())});
  } else if (auto* tagged_rule = item->tagged()) {
    for (P::NameContext* tag : tagged_rule->name()) {
      items.emplace_back(syntax::Tag{name(tag)});
    }
  } else if (auto* caution_rule = item->caution()) {
    items.emplace_back(syntax::Caution{text_of(caution_rule->STRING())});
  } else if (auto* record_rule = item->record()) {
    syntax::Record record{name(record_rule->name()), {}};
    if (record_rule->unitText() != nullptr) record.unit = unit(record_rule->unitText());
    items.emplace_back(std::move(record));
  } else if (auto* note_rule = item->note()) {
    items.emplace_back(syntax::Note{text_of(note_rule->STRING())});
  } else if (auto* closure_rule = item->noEntry()) {
    items.emplace_back(
        syntax::NoEntry{formula(closure_rule->formula()), places_.span(closure_rule)});
  }
}

namespace {

/// The number that a formula is, if it is one alone.
grammar::BudwoodParser::QuantityContext* lone_quantity(antlr4::ParserRuleContext* context) {
  antlr4::tree::ParseTree* one = context;
  while (one->children.size() == 1) {
    one = one->children.front();
    if (auto* found = dynamic_cast<grammar::BudwoodParser::QuantityContext*>(one)) return found;
  }
  return nullptr;
}

}  // namespace

/// `time 20 min per tray` reads like a quotient of units, and is a time for each tray.
syntax::Time TreeBuilder::time(P::DurationContext* context) {
  syntax::Time time{formula(context->formula()), share(context->share()), places_.span(context)};
  P::QuantityContext* number = lone_quantity(context->formula());
  if (number == nullptr || number->PER() == nullptr || number->unit().size() < 2) return time;
  time.time.unit = unit(number->unit().front());
  time.time.span.end = time.time.unit.span.end;
  const syntax::UnitText under = unit(number->unit().back());
  syntax::Formula per;
  per.kind = syntax::Formula::Kind::name;
  per.name = {under.text, under.span};
  per.span = under.span;
  time.share.per = std::move(per);
  return time;
}

syntax::Share TreeBuilder::share(P::ShareContext* context) {
  syntax::Share out;
  if (context == nullptr) return out;
  out.each = context->EACH() != nullptr;
  if (P::LoadContext* load = context->load()) {
    if (load->NAME()->getText() != "load") {
      diagnostics_.error("syntax", places_.span(load->NAME()->getSymbol()),
                         "`" + load->NAME()->getText() + " of` is not said here.",
                         "Such as: use 50 mL disinfectant per load of 12 tray_72");
    }
    if (load->formula() != nullptr) {
      out.per = formula(load->formula());
    } else {
      syntax::Formula size;
      size.kind = syntax::Formula::Kind::number;
      size.number = number(load->NUMBER());
      size.span = places_.span(load->NUMBER()->getSymbol());
      out.per = std::move(size);
    }
    out.load =
        load->name() != nullptr ? name(load->name()) : syntax::Name{"plants", places_.span(load)};
  } else if (!out.each) {
    out.per = formula(context->formula());
  }
  return out;
}

syntax::Use TreeBuilder::use(P::UseContext* context) {
  P::AmountContext* amount = context->amount();
  syntax::Use use;
  use.supply = name(amount->name());
  use.span = places_.span(context);
  if (amount->COMPOUND() != nullptr) {
    use.amount = compound(amount->COMPOUND());
  } else if (amount->formula() != nullptr) {
    use.amount = formula(amount->formula());
  } else {
    syntax::Formula written;
    written.kind = syntax::Formula::Kind::number;
    written.number = number(amount->NUMBER());
    written.span = places_.span(amount->NUMBER()->getSymbol());
    if (amount->unit() != nullptr) {
      written.unit = unit(amount->unit());
      written.span.end = written.unit.span.end;
    }
    use.amount = std::move(written);
  }
  use.share = share(amount->share());
  if (P::LightStartContext* start = context->lightStart()) {
    use.light = light_start(start->formula(), start->NAME());
  }
  if (context->UNTIL() != nullptr) {
    use.until = name(context->name());
    use.until_edge = name(context->NAME());
  }
  return use;
}

}  // namespace budwood::language
