#include "language/tree/references.hpp"

namespace budwood::language {

namespace {

class Walk {
 public:
  explicit Walk(const References& references) : references_(references) {}

  void go(syntax::Stage& stage) const {
    name(stage.part, Refers::part);
    for (syntax::Name& joined : stage.joined) name(joined, Refers::part);
    for (syntax::StageItem& item : stage.items) {
      std::visit([this](auto& statement) { go(statement); }, item);
    }
  }

  void go(syntax::Repeat& repeat) const {
    for (syntax::Stage& stage : repeat.stages) go(stage);
  }
  void go(syntax::Let& let) const { go(let.value); }
  void go(syntax::Requirement& requirement) const {
    go(requirement.condition);
    for (syntax::Message::Value& value : requirement.message.values) go(value.path);
  }
  // Declarations without formulas, and what refers to nothing.
  void go(syntax::Edition&) const {}
  void go(syntax::Crop&) const {}
  void go(syntax::SourceNote&) const {}
  void go(syntax::Note&) const {}
  void go(syntax::Input&) const {}
  void go(syntax::Table&) const {}
  void go(syntax::Supply&) const {}
  void go(syntax::Part&) const {}
  void go(syntax::Observe&) const {}
  void go(syntax::Waive&) const {}
  void go(syntax::Season&) const {}
  void go(syntax::Discard&) const {}

 private:
  void name(syntax::Name& one, Refers refers) const {
    if (references_.name) references_.name(one, refers);
  }
  void text(syntax::Text& one, Refers refers) const {
    if (references_.text) references_.text(one, refers);
  }

  void go(syntax::Formula& formula, Refers names = Refers::value) const {
    if (references_.formula) references_.formula(formula);
    if (formula.kind == syntax::Formula::Kind::name) name(formula.name, names);
    if (formula.kind == syntax::Formula::Kind::member ||
        formula.kind == syntax::Formula::Kind::call) {
      name(formula.name, Refers::value);
    }
    const bool call = formula.kind == syntax::Formula::Kind::call;
    for (syntax::Formula& argument : formula.arguments) go(argument, call ? Refers::value : names);
  }
  void go(std::optional<syntax::Formula>& formula) const {
    if (formula) go(*formula);
  }
  void go(syntax::Range& range) const {
    go(range.low);
    go(range.high);
  }

  void go(syntax::After& after) const {
    name(after.stage, Refers::stage);
    if (after.by) go(*after.by);
  }
  void go(syntax::StartsWithin& within) const {
    name(within.stage, Refers::stage);
    go(within.range);
  }
  void go(syntax::Gate& gate) const {
    go(gate.condition, Refers::observation);
    text(gate.written, Refers::observation);
    go(gate.at_most);
  }
  void go(syntax::Room& room) const { name(room.name, Refers::room); }
  void go(syntax::Space& space) const { go(space.amount); }
  void go(syntax::Lasts& lasts) const {
    go(lasts.range);
    go(lasts.usually);
    if (!lasts.heat) return;
    go(lasts.heat->base);
    go(lasts.heat->upper);
  }
  void go(syntax::Wait& wait) const { go(wait.most); }
  void go(syntax::Loses& loses) const { go(loses.share); }
  void go(syntax::Takes& takes) const { name(takes.stage, Refers::stage); }
  void go(syntax::Yields& yields) const { go(yields.number); }
  void go(syntax::Whole& whole) const { name(whole.supply, Refers::supply); }
  void go(syntax::Minimum& minimum) const { go(minimum.plants); }
  void go(syntax::Setting& setting) const {
    go(setting.first);
    go(setting.last);
    go(setting.high);
    go(setting.hours);
    go(setting.days.over);
  }
  void go(syntax::Mist& mist) const {
    for (auto* formula : {&mist.pulse, &mist.pulse_last, &mist.every, &mist.every_last}) {
      go(*formula);
    }
    go(mist.days.over);
  }
  void go(syntax::Conditional& conditional) const {
    go(conditional.condition, Refers::observation);
    text(conditional.written, Refers::observation);
    for (syntax::Work& work : conditional.works) go(work);
  }

  void go(syntax::Work& work) const {
    go(work.timing.interval);
    go(work.timing.within);
    for (syntax::Rate& rate : work.rates) go(rate.rate);
    for (syntax::Duration& duration : work.durations) go(duration.time);
    for (syntax::Duration& setup : work.setups) go(setup.time);
    for (syntax::Name& crew : work.crews) name(crew, Refers::crew);
    for (syntax::People& people : work.people) go(people.number);
    for (syntax::NoEntry& closure : work.closures) go(closure.time);
    for (syntax::Record& record : work.records) name(record.name, Refers::observation);
    for (syntax::Use& use : work.uses) go(use);
  }
  void go(syntax::Use& use) const {
    name(use.supply, Refers::supply);
    go(use.amount);
    // `per tray_72` names a supply.
    if (use.per) go(*use.per, Refers::supply);
    if (use.until) name(*use.until, Refers::stage);
  }

  const References& references_;
};

}  // namespace

void visit(syntax::Stage& stage, const References& references) {
  Walk(references).go(stage);
}

void visit(syntax::Protocol& protocol, const References& references) {
  const Walk walk(references);
  for (syntax::ProtocolItem& item : protocol.items) {
    std::visit([&](auto& statement) { walk.go(statement); }, item);
  }
}

}  // namespace budwood::language
