#include "language/parse/tree_builder.hpp"

#include <utility>

namespace budwood::language {

namespace {
constexpr int most_editions = 1'000'000;
}

/// Whether words stand in a block that belong to none of its statements.
bool TreeBuilder::passed_over(antlr4::ParserRuleContext* block) const {
  return has_mistakes_ &&
         std::any_of(block->children.begin(), block->children.end(), [](auto* one) {
           auto* word = dynamic_cast<antlr4::tree::TerminalNode*>(one);
           return word != nullptr && word->getSymbol()->getType() != P::LBRACE &&
                  word->getSymbol()->getType() != P::RBRACE;
         });
}

bool TreeBuilder::broken(antlr4::ParserRuleContext* context) const {
  if (!has_mistakes_) return false;
  if (context->exception) return true;
  for (antlr4::tree::ParseTree* child : context->children) {
    if (dynamic_cast<antlr4::tree::ErrorNode*>(child) != nullptr) return true;
    auto* rule = dynamic_cast<antlr4::ParserRuleContext*>(child);
    // Statements of an inner block answer for themselves.
    if (rule == nullptr || rule->getRuleIndex() == P::RuleStageBody ||
        rule->getRuleIndex() == P::RuleWorkBody || rule->getRuleIndex() == P::RuleProtocolBody ||
        rule->getRuleIndex() == P::RuleRepeatBody || rule->getRuleIndex() == P::RuleRulesBody ||
        rule->getRuleIndex() == P::RuleRuleBody || rule->getRuleIndex() == P::RuleForEachBody ||
        rule->getRuleIndex() == P::RuleConditionalBody ||
        rule->getRuleIndex() == P::RuleChangeBody) {
      continue;
    }
    if (broken(rule)) return true;
  }
  return false;
}

syntax::File TreeBuilder::file(P::FileContext* context) {
  syntax::File file;
  for (P::ProtocolContext* one : context->protocol()) {
    // Without a name nothing in it can be referred to.
    if (!broken(one->protocolHead())) file.protocols.push_back(protocol(one));
  }
  for (P::RulesContext* one : context->rules()) {
    if (!broken(one->rulesHead())) file.rule_sets.push_back(rules(one));
  }
  for (P::TableContext* one : context->table()) {
    if (!broken(one) && one->tableBody() != nullptr) file.tables.push_back(table(one));
  }
  return file;
}

/// A misspelt `supply clip` declares nothing; where `clip` is used that is not told again.
void TreeBuilder::forgive_passed_over(P::ProtocolBodyContext* body, syntax::Protocol& protocol) {
  if (!passed_over(body)) return;
  unread_ = true;
  for (antlr4::tree::ParseTree* one : body->children) {
    auto* word = dynamic_cast<antlr4::tree::TerminalNode*>(one);
    const bool named = word != nullptr && (word->getSymbol()->getType() == P::NAME ||
                                           word->getSymbol()->getType() == P::LINE_WORD);
    std::vector<std::string>& names = protocol.unread_names;
    if (named && std::find(names.begin(), names.end(), word->getText()) == names.end()) {
      names.push_back(word->getText());
    }
  }
}

syntax::Protocol TreeBuilder::protocol(P::ProtocolContext* context) {
  syntax::Protocol protocol;
  P::ProtocolHeadContext* head = context->protocolHead();
  protocol.name = name(head->name());
  protocol.title = optional_text(head->STRING());
  if (P::BaseContext* base = head->base()) {
    protocol.base = {name(base->name()),
                     whole_number(base->NUMBER(), 1, most_editions, "An edition"),
                     places_.span(base)};
  }
  unread_ = context->protocolBody() == nullptr || broken(context);
  if (context->protocolBody() != nullptr) {
    for (P::ProtocolItemContext* item : context->protocolBody()->protocolItem()) {
      protocol_item(item, protocol);
    }
    forgive_passed_over(context->protocolBody(), protocol);
  }
  protocol.has_unread = unread_;
  int edition = 1;
  for (const syntax::ProtocolItem& item : protocol.items) {
    if (const auto* one = std::get_if<syntax::Edition>(&item)) edition = one->number;
  }
  protocol.layers.push_back({protocol.name.text, edition, places_.span(context)});
  for (syntax::Protocol& variant : protocol.variants) {
    Layer& own = variant.layers.front();
    own.name = variant_name(protocol.name.text, variant.name.text);
    own.edition = edition;
  }
  return protocol;
}

namespace {

/// The name that a broken declaration would have declared.
void remember_name(antlr4::ParserRuleContext* declaration, syntax::Protocol& protocol) {
  if (declaration == nullptr) return;
  const auto* name = declaration->getRuleContext<grammar::BudwoodParser::NameContext>(0);
  if (name == nullptr || name->children.empty()) return;
  protocol.unread_names.push_back(name->children.front()->getText());
}

}  // namespace

void TreeBuilder::protocol_item(P::ProtocolItemContext* item, syntax::Protocol& protocol) {
  if (broken(item)) {
    unread_ = true;
    remember_name(item->input(), protocol);
    remember_name(item->let(), protocol);
    remember_name(item->supply(), protocol);
    remember_name(item->part(), protocol);
    if (item->recipe() != nullptr) remember_name(item->recipe()->recipeHead(), protocol);
    if (item->table() != nullptr) remember_name(item->table()->tableHead(), protocol);
    remember_name(item->observe(), protocol);
    if (item->variant() != nullptr) remember_name(item->variant()->variantHead(), protocol);
    if (item->stage() != nullptr) remember_name(item->stage()->stageHead(), protocol);
    return;
  }
  auto& items = protocol.items;
  if (auto* edition_rule = item->edition()) {
    items.emplace_back(
        syntax::Edition{whole_number(edition_rule->NUMBER(), 1, most_editions, "An edition"),
                        places_.span(edition_rule)});
  } else if (auto* crop_rule = item->crop()) {
    items.emplace_back(syntax::Crop{text_of(crop_rule->STRING())});
  } else if (auto* source_rule = item->source()) {
    items.emplace_back(syntax::SourceNote{text_of(source_rule->STRING())});
  } else if (auto* note_rule = item->note()) {
    items.emplace_back(syntax::Note{text_of(note_rule->STRING())});
  } else if (auto* input_rule = item->input()) {
    items.emplace_back(input(input_rule));
  } else if (auto* let_rule = item->let()) {
    items.emplace_back(syntax::Let{name(let_rule->name()), formula(let_rule->formula()),
                                   optional_text(let_rule->STRING())});
  } else if (auto* table_rule = item->table()) {
    items.emplace_back(table(table_rule));
  } else if (auto* supply_rule = item->supply()) {
    items.emplace_back(supply(supply_rule));
  } else if (auto* recipe_rule = item->recipe()) {
    items.emplace_back(recipe(recipe_rule));
  } else if (auto* part_rule = item->part()) {
    items.emplace_back(syntax::Part{name(part_rule->name()), optional_text(part_rule->STRING())});
  } else if (auto* stage_rule = item->stage()) {
    items.emplace_back(stage(stage_rule->stageHead(), stage_rule->stageBody()));
  } else if (auto* observe_rule = item->observe()) {
    items.emplace_back(observe(observe_rule));
  } else if (auto* repeat_rule = item->repeat()) {
    items.emplace_back(repeat(repeat_rule));
  } else if (auto* requirement_rule = item->requirement()) {
    items.emplace_back(requirement(requirement_rule));
  } else if (auto* waive_rule = item->waive()) {
    items.emplace_back(waive(waive_rule));
  } else {
    change_item(item, protocol);
  }
}

syntax::Table TreeBuilder::table(P::TableContext* context) {
  syntax::Table table;
  P::TableHeadContext* head = context->tableHead();
  table.name = name(head->name(0));
  table.title = optional_text(head->STRING());
  table.argument = name(head->name(1));
  // A unit may stand before the arrow, after it, or both; its place in the text tells which it is.
  const std::size_t arrow = head->arrow->getTokenIndex();
  for (P::UnitTextContext* one : head->unitText()) {
    (one->start->getTokenIndex() < arrow ? table.argument_unit : table.value_unit) = unit(one);
  }
  for (P::TablePointContext* point : context->tableBody()->tablePoint()) {
    const auto value = [&](P::SignedNumberContext* c) {
      const bool negative = c->children.size() > 1;
      return (negative ? -1 : 1) * number(c->NUMBER());
    };
    syntax::TablePoint one;
    one.span = places_.span(point);
    if (point->name() != nullptr) {
      one.word = name(point->name());
    } else {
      one.at = value(point->signedNumber(0));
    }
    one.value = value(point->signedNumber().back());
    table.points.push_back(std::move(one));
  }
  table.source = optional_text(context->STRING());
  return table;
}

syntax::Supply TreeBuilder::supply(P::SupplyContext* context) {
  syntax::Supply supply;
  supply.name = name(context->name());
  supply.title = optional_text(context->STRING());
  supply.unit = unit(context->unit());
  for (P::SupplyDetailContext* detail : context->supplyDetail()) {
    if (detail->PACK() != nullptr) supply.pack = quantity(detail->quantity(0));
    if (detail->SCRAP() != nullptr) supply.scrap = quantity(detail->quantity(0));
    if (detail->FOOTPRINT() != nullptr) {
      syntax::Footprint footprint{quantity(detail->quantity(0)), {}, places_.span(detail)};
      if (detail->BY() != nullptr) footprint.across = quantity(detail->quantity(1));
      supply.footprint = std::move(footprint);
    }
    if (detail->HAZARD() != nullptr) supply.hazards.push_back({name(detail->NAME())});
    if (detail->REUSED() != nullptr) supply.reused = true;
  }
  return supply;
}

syntax::Recipe TreeBuilder::recipe(P::RecipeContext* context) {
  P::RecipeHeadContext* head = context->recipeHead();
  syntax::Recipe recipe;
  recipe.name = name(head->name());
  recipe.title = optional_text(head->STRING());
  recipe.makes = quantity(head->quantity());
  recipe.span = places_.span(head);
  for (P::RecipeDetailContext* detail : head->recipeDetail()) {
    std::optional<syntax::Formula>& said = detail->KEEPS() != nullptr  ? recipe.keeps
                                           : detail->MADE() != nullptr ? recipe.before
                                           : detail->AT() != nullptr   ? recipe.ec
                                           : detail->PH() != nullptr   ? recipe.ph
                                                                       : recipe.vessel;
    if (said) {
      diagnostics_.error("duplicate-statement", places_.span(detail),
                         "This is said already in the head of this recipe.", "Keep one of them.");
    }
    said = quantity(detail->quantity());
  }
  const bool before = std::exchange(
      unread_, context->workBody() == nullptr || broken(context) || broken(context->workBody()));
  recipe.items = work_items(context->workBody());
  recipe.has_unread = unread_;
  unread_ = unread_ || before;
  return recipe;
}

syntax::Requirement TreeBuilder::requirement(P::RequirementContext* context) {
  return {context->ADVISE() != nullptr, formula(context->formula()), message(context->STRING()),
          places_.span(context)};
}

syntax::Waive TreeBuilder::waive(P::WaiveContext* context) {
  syntax::Waive waive;
  const std::vector<P::NameContext*> names = context->name();
  if (names.size() > 1) waive.set = name(names.front());
  waive.rule = name(names.back());
  waive.reason = text_of(context->STRING());
  if (waive.reason.value.empty()) {
    diagnostics_.error("no-reason", waive.reason.span, "A rule is waived for a reason.",
                       "Say why it does not apply here.");
  }
  waive.span = places_.span(context);
  return waive;
}

syntax::Observe TreeBuilder::observe(P::ObserveContext* context) {
  syntax::Observe observe{name(context->name()), {}, optional_text(context->STRING())};
  if (context->unitText() != nullptr) observe.unit = unit(context->unitText());
  return observe;
}

syntax::Repeat TreeBuilder::repeat(P::RepeatContext* context) {
  syntax::Repeat repeat;
  repeat.times = whole_number(context->NUMBER(), 1, 100, "A number of times");
  repeat.span = places_.span(context->REPEAT()->getSymbol(), context->TIMES()->getSymbol());
  for (P::StageContext* one : context->repeatBody()->stage()) {
    if (broken(one->stageHead())) continue;
    repeat.stages.push_back(stage(one->stageHead(), one->stageBody()));
  }
  return repeat;
}

}  // namespace budwood::language
