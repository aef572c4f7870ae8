#include "language/parse/tree_builder.hpp"

/// Rule sets, and the formulas that only they use.
namespace budwood::language {

syntax::Rules TreeBuilder::rules(P::RulesContext* context) {
  syntax::Rules out;
  out.name = name(context->rulesHead()->name());
  out.title = optional_text(context->rulesHead()->STRING());
  if (context->rulesBody() == nullptr) return out;
  for (P::RulesItemContext* item : context->rulesBody()->rulesItem()) {
    if (broken(item)) continue;
    if (P::EditionContext* edition = item->edition()) {
      out.edition = syntax::Edition{whole_number(edition->NUMBER(), 1, 1'000'000, "An edition"),
                                    places_.span(edition)};
    } else if (item->source() != nullptr) {
      out.sources.push_back(text_of(item->source()->STRING()));
    } else if (item->note() != nullptr) {
      out.notes.push_back(text_of(item->note()->STRING()));
    } else if (item->oneRule() != nullptr) {
      out.rules.push_back(rule(item->oneRule()));
    }
  }
  return out;
}

syntax::Rule TreeBuilder::rule(P::OneRuleContext* context) {
  syntax::Rule out;
  out.name = name(context->ruleHead()->name());
  out.title = optional_text(context->ruleHead()->STRING());
  if (context->ruleBody() == nullptr) return out;
  unread_ = false;
  for (P::RuleItemContext* item : context->ruleBody()->ruleItem()) {
    if (broken(item)) {
      unread_ = true;
      continue;
    }
    if (item->source() != nullptr) {
      out.sources.push_back(text_of(item->source()->STRING()));
    } else if (item->note() != nullptr) {
      out.notes.push_back(text_of(item->note()->STRING()));
    } else if (item->forEach() != nullptr) {
      out.loops.push_back(for_each(item->forEach()));
    } else if (item->requirement() != nullptr) {
      out.requirements.push_back(requirement(item->requirement()));
    }
  }
  out.has_unread = unread_;
  return out;
}

syntax::ForEach TreeBuilder::for_each(P::ForEachContext* context) {
  P::ForEachHeadContext* head = context->forEachHead();
  syntax::ForEach out;
  out.span = places_.span(head);
  out.steps = head->STEP() != nullptr;
  if (out.steps) {
    out.from = name(head->name(0));
    out.to = name(head->name(1));
  } else {
    out.selection = selection(head->selection());
  }
  if (head->WHERE() != nullptr) out.where = formula(head->formula());
  if (context->forEachBody() == nullptr) return out;
  for (P::ForEachItemContext* item : context->forEachBody()->forEachItem()) {
    if (broken(item)) {
      unread_ = true;
      continue;
    }
    if (item->forEach() != nullptr) {
      out.inner.push_back(for_each(item->forEach()));
    } else if (item->requirement() != nullptr) {
      out.requirements.push_back(requirement(item->requirement()));
    }
  }
  return out;
}

syntax::Selection TreeBuilder::selection(P::SelectionContext* context) {
  syntax::Selection out;
  out.span = places_.span(context);
  out.kind = context->STAGE() != nullptr  ? syntax::Selection::Kind::stage
             : context->WORK() != nullptr ? syntax::Selection::Kind::work
                                          : syntax::Selection::Kind::part;
  // `work w tagged cutting`: the name before `tagged` is the variable, the one after it the tag.
  std::vector<P::NameContext*> names = context->name();
  if (context->TAGGED() != nullptr) {
    out.tag = name(names.back());
    names.pop_back();
  }
  if (!names.empty()) out.variable = name(names.front());
  for (P::PlaceContext* one : context->place()) {
    using Relation = syntax::Selection::Place::Relation;
    const Relation relation = one->BEFORE() != nullptr  ? Relation::before
                              : one->AFTER() != nullptr ? Relation::after
                                                        : Relation::in;
    out.places.push_back({relation, path(one->path())});
  }
  return out;
}

syntax::Path TreeBuilder::path(P::PathContext* context) {
  syntax::Path out{name(context->name()), {}, places_.span(context)};
  for (P::MemberContext* one : context->member()) out.members.push_back(name(one));
  return out;
}

syntax::Formula TreeBuilder::quantified(P::PrimaryContext* context) {
  syntax::Formula out;
  out.kind = syntax::Formula::Kind::choose_of;
  out.span = places_.span(context);
  out.quantifier = context->SOME() != nullptr       ? syntax::Quantifier::some
                   : context->EVERY() != nullptr    ? syntax::Quantifier::every
                   : context->COUNT_OF() != nullptr ? syntax::Quantifier::count
                                                    : syntax::Quantifier::none;
  out.selection = std::make_shared<const syntax::Selection>(selection(context->selection()));
  out.has_where = context->WHERE() != nullptr;
  for (P::FormulaContext* one : context->formula()) out.arguments.push_back(formula(one));
  return out;
}

}  // namespace budwood::language
