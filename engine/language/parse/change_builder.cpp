#include "language/parse/tree_builder.hpp"

namespace budwood::language {

void TreeBuilder::change_item(P::ProtocolItemContext* item, syntax::Protocol& protocol) {
  auto& changes = protocol.changes;
  if (auto* set_rule = item->setInput()) {
    changes.emplace_back(set_input(set_rule));
  } else if (auto* change_rule = item->change()) {
    changes.emplace_back(change(change_rule));
  } else if (auto* addition_rule = item->addition()) {
    changes.emplace_back(addition(addition_rule));
  } else if (auto* drop_rule = item->drop()) {
    changes.emplace_back(drop(drop_rule));
  } else if (auto* rename_rule = item->rename()) {
    changes.emplace_back(rename(rename_rule));
  } else if (auto* variant_rule = item->variant()) {
    protocol.variants.push_back(variant(variant_rule));
  }
}

syntax::Protocol TreeBuilder::variant(P::VariantContext* context) {
  syntax::Protocol variant;
  variant.name = name(context->variantHead()->name());
  variant.title = optional_text(context->variantHead()->STRING());
  for (P::ProtocolItemContext* item : context->protocolBody()->protocolItem()) {
    if (item->edition() != nullptr || item->variant() != nullptr) {
      diagnostics_.error("misplaced", places_.span(item->start),
                         "A variant has no edition and no variants of its own.",
                         "Take this out; a variant has the edition of its protocol.");
      continue;
    }
    protocol_item(item, variant);
  }
  forgive_passed_over(context->protocolBody(), variant);
  variant.layers.push_back({variant.name.text, 1, places_.span(context)});
  return variant;
}

syntax::SetInput TreeBuilder::set_input(P::SetInputContext* context) {
  syntax::SetInput set;
  set.span = places_.span(context);
  set.input = input(context);
  return set;
}

syntax::Change TreeBuilder::change(P::ChangeContext* context) {
  if (P::CycleChangeContext* cycles = context->cycleChange()) {
    return syntax::CycleChange{name(cycles->name()),
                               whole_number(cycles->NUMBER(), 1, 100, "A number of times"),
                               places_.span(context)};
  }
  return stage_change(context->stageChange());
}

syntax::StageChange TreeBuilder::stage_change(P::StageChangeContext* context) {
  syntax::StageChange change;
  P::ChangeHeadContext* head = context->changeHead();
  change.name = name(head->name());
  change.title = optional_text(head->STRING());
  change.head = places_.span(head);
  if (context->changeBody() == nullptr) return change;
  for (P::ChangeItemContext* item : context->changeBody()->changeItem()) {
    if (broken(item)) {
      unread_ = true;
    } else if (item->workChange() != nullptr) {
      change.items.emplace_back(work_change(item->workChange()));
    } else if (item->drop() != nullptr) {
      change.items.emplace_back(drop(item->drop()));
    } else {
      for (syntax::StageItem& one : stage_items(item->stageItem())) {
        change.items.emplace_back(std::move(one));
      }
    }
  }
  return change;
}

syntax::WorkChange TreeBuilder::work_change(P::WorkChangeContext* context) {
  P::WorkChangeHeadContext* head = context->workChangeHead();
  syntax::WorkChange change;
  change.span = places_.span(head);
  change.work.title = text_of(head->STRING());
  change.work.span = change.span;
  change.work.timing = timing(head->timing());
  change.retimes = head->timing() != nullptr;
  hours(head->hour(), change.work.timing);
  change.work.items = work_items(context->workBody());
  return change;
}

syntax::Addition TreeBuilder::addition(P::AdditionContext* context) {
  P::AdditionHeadContext* head = context->additionHead();
  return {stage(head->stageHead(), context->stageBody()), head->BEFORE() != nullptr,
          name(head->name()), places_.span(head)};
}

namespace {

/// The words of a statement up to its first name, number or text: "may wait".
std::string leading_words(antlr4::ParserRuleContext* context) {
  std::string words;
  for (antlr4::tree::ParseTree* child : context->children) {
    auto* word = dynamic_cast<antlr4::tree::TerminalNode*>(child);
    if (word == nullptr || word->getSymbol()->getType() == grammar::BudwoodParser::STRING) break;
    words += (words.empty() ? "" : " ") + word->getText();
  }
  return words;
}

}  // namespace

syntax::Drop TreeBuilder::drop(P::DropContext* context) {
  P::DroppedContext* what = context->dropped();
  syntax::Drop drop;
  drop.kind = leading_words(what);
  drop.span = places_.span(context);
  if (what->STRING() != nullptr) drop.text = text_of(what->STRING());
  if (what->WORK() != nullptr) {
    if (what->name() != nullptr) drop.stage = name(what->name());
  } else if (what->name() != nullptr) {
    drop.name = name(what->name());
  }
  return drop;
}

syntax::Rename TreeBuilder::rename(P::RenameContext* context) {
  syntax::Rename rename;
  rename.span = places_.span(context);
  if (context->WORK() != nullptr) {
    rename.kind = "work";
    rename.stage = name(context->name(0));
    rename.old_text = text_of(context->STRING(0));
    rename.new_text = text_of(context->STRING(1));
    return rename;
  }
  rename.kind = context->renamedKind()->getText();
  rename.from = name(context->name(0));
  rename.to = name(context->name(1));
  if (!context->STRING().empty()) rename.title = text_of(context->STRING(0));
  return rename;
}

}  // namespace budwood::language
