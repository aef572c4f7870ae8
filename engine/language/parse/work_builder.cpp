#include "language/parse/tree_builder.hpp"

namespace budwood::language {

syntax::Work TreeBuilder::work(P::WorkContext* context) {
  syntax::Work work;
  P::WorkHeadContext* head = context->workHead();
  work.title = text_of(head->STRING());
  work.span = places_.span(context->DO()->getSymbol(), head->stop);
  work.timing = timing(head->timing());
  if (head->within() != nullptr) work.timing.within = quantity(head->within()->quantity());
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

void TreeBuilder::work_item(P::WorkItemContext* item, std::vector<syntax::WorkItem>& items) {
  if (broken(item)) {
    unread_ = true;
    return;
  }
  if (auto* rate_rule = item->rate()) {
    items.emplace_back(syntax::Rate{formula(rate_rule->formula()), places_.span(rate_rule)});
  } else if (auto* duration_rule = item->duration()) {
    items.emplace_back(syntax::Time{formula(duration_rule->formula()),
                                    duration_rule->EACH() != nullptr, places_.span(duration_rule)});
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
  if (amount->share() != nullptr) {
    use.each = amount->share()->EACH() != nullptr;
    if (!use.each) use.per = formula(amount->share()->formula());
  }
  if (context->UNTIL() != nullptr) {
    use.until = name(context->name());
    use.until_edge = name(context->NAME());
  }
  return use;
}

}  // namespace budwood::language
