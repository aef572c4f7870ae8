#include "language/editing/name_roles.hpp"

#include "BudwoodParser.h"

namespace budwood::language {

namespace {

using P = grammar::BudwoodParser;

/// What `drop` and `rename` speak of, by the word in front of the name.
NameKind kind_by_word(std::size_t word) {
  switch (word) {
    case P::STAGE:
    case P::AFTER:
    case P::IN:
      return NameKind::stage;
    case P::INPUT:
    case P::LET:
    case P::TABLE:
      return NameKind::value;
    case P::SUPPLY:
    case P::WHOLE:
      return NameKind::supply;
    case P::PART:
      return NameKind::part;
    case P::OBSERVE:
      return NameKind::observation;
    case P::KEEP:
      return NameKind::setting;
    case P::WAIVE:
      return NameKind::rule;
    case P::ROOM:
      return NameKind::room;
    case P::CREW:
      return NameKind::crew;
    default:
      return NameKind::other;
  }
}

}  // namespace

NameRole role_of_name(std::size_t rule, std::size_t before) {
  switch (rule) {
    case P::RuleProtocolHead:
      return {NameKind::protocol, true};
    case P::RuleBase:
      return {NameKind::protocol, false};
    case P::RuleVariantHead:
      return {NameKind::variant, true};
    case P::RuleRulesHead:
      return {NameKind::rules, true};
    case P::RuleRuleHead:
      return {NameKind::rule, true};
    case P::RuleInput:
      return {NameKind::input, true};
    case P::RuleLet:
      return {NameKind::let, true};
    case P::RuleTableHead:
      return before == P::LPAREN ? NameRole{} : NameRole{NameKind::table, true};
    case P::RuleSetInput:
      return {NameKind::input, false};
    case P::RuleSupply:
      return {NameKind::supply, true};
    case P::RuleRecipeHead:
      return {NameKind::supply, true};
    case P::RulePart:
      return {NameKind::part, true};
    case P::RuleObserve:
      return {NameKind::observation, true};
    case P::RuleStageHead:
      return before == P::STAGE ? NameRole{NameKind::stage, true} : NameRole{NameKind::part, false};
    case P::RuleChangeHead:
    case P::RuleCycleChange:
    case P::RuleAdditionHead:
    case P::RuleAfter:
    case P::RuleTakes:
    case P::RuleStartsWithin:
    case P::RuleUse:
      return {NameKind::stage, false};
    case P::RuleRoom:
      return {NameKind::room, false};
    case P::RuleCrew:
      return {NameKind::crew, false};
    case P::RuleWhole:
    case P::RuleAmount:
    case P::RuleLoad:
      return {NameKind::supply, false};
    case P::RuleKeep:
    case P::RuleSettingTaper:
      return {NameKind::setting, false};
    case P::RuleHeat:
      return {NameKind::method, false};
    case P::RuleTagged:
    case P::RuleSelection:
      if (rule == P::RuleSelection && before != P::TAGGED) return {NameKind::variable, true};
      return {NameKind::tag, false};
    case P::RuleRecord:
      return {NameKind::observation, false};
    case P::RuleWaive:
      return {NameKind::rule, false};
    case P::RuleDropped:
      return {kind_by_word(before), false};
    case P::RuleRename:
      return {kind_by_word(before), false};
    case P::RuleForEachHead:
      return {NameKind::variable, true};
    case P::RulePath:
    case P::RulePrimary:
      return {NameKind::value, false};
    default:
      return {};
  }
}

NameRole role_of_bare_name(std::size_t rule, std::size_t before) {
  switch (rule) {
    case P::RuleUnit:
    case P::RuleSpaceUnit:
      return {NameKind::unit, false};
    case P::RuleSupplyDetail:
      return {NameKind::hazard, false};
    case P::RuleFeature:
      return {before == P::HAZARD ? NameKind::hazard : NameKind::property, false};
    case P::RuleMember:
      return {NameKind::property, false};
    default:
      return {};
  }
}

}  // namespace budwood::language
