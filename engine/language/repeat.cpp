#include "language/repeat.hpp"

#include <algorithm>

#include "language/titles.hpp"

namespace budwood::language {

namespace {

using syntax::Formula;

/// One cycle of a repeated block: renames what refers to it.
class Cycle {
 public:
  Cycle(const syntax::Repeat& repeat, int number) : repeat_(repeat), number_(number) {}

  syntax::Stage stage(const syntax::Stage& written) const {
    syntax::Stage out = written;
    out.title = syntax::Text{title_of(written.title, written.name) + " (cycle " + std::to_string(number_) + " of " +
                                 std::to_string(repeat_.times) + ")",
                             written.name.span};
    rename(out.name);
    for (syntax::StageItem& item : out.items) {
      std::visit([this](auto& statement) { adapt(statement); }, item);
    }
    return out;
  }

 private:
  void rename(syntax::Name& name) const {
    const bool own = std::any_of(repeat_.stages.begin(), repeat_.stages.end(),
                                 [&](const syntax::Stage& s) { return s.name.text == name.text; });
    if (own) name.text += "_" + std::to_string(number_);
  }

  void adapt(Formula& formula) const {
    if (formula.kind == Formula::Kind::name && formula.name.text == "cycle") {
      formula.kind = Formula::Kind::number;
      formula.number = number_;
    }
    if (formula.kind == Formula::Kind::member) rename(formula.name);
    for (Formula& argument : formula.arguments) adapt(argument);
  }
  void adapt(std::optional<Formula>& formula) const {
    if (formula) adapt(*formula);
  }
  void adapt(syntax::Range& range) const {
    adapt(range.low);
    adapt(range.high);
  }

  void adapt(syntax::After& after) const {
    rename(after.stage);
    if (after.by) adapt(*after.by);
  }
  void adapt(syntax::StartsWithin& within) const {
    rename(within.stage);
    adapt(within.range);
  }
  void adapt(syntax::Gate& gate) const {
    adapt(gate.condition);
    adapt(gate.at_most);
  }
  void adapt(syntax::Space& space) const { adapt(space.amount); }
  void adapt(syntax::Lasts& lasts) const {
    adapt(lasts.range);
    adapt(lasts.usually);
    if (!lasts.heat) return;
    adapt(lasts.heat->base);
    adapt(lasts.heat->upper);
  }
  void adapt(syntax::Wait& wait) const { adapt(wait.most); }
  void adapt(syntax::Loses& loses) const { adapt(loses.share); }
  void adapt(syntax::Takes& takes) const { rename(takes.stage); }
  void adapt(syntax::Yields& yields) const { adapt(yields.number); }
  void adapt(syntax::Minimum& minimum) const { adapt(minimum.plants); }
  void adapt(syntax::Setting& setting) const {
    adapt(setting.first);
    adapt(setting.last);
    adapt(setting.high);
    adapt(setting.hours);
    adapt(setting.days.over);
  }
  void adapt(syntax::Mist& mist) const {
    for (auto* formula : {&mist.pulse, &mist.pulse_last, &mist.every, &mist.every_last}) {
      adapt(*formula);
    }
    adapt(mist.days.over);
  }
  void adapt(syntax::Work& work) const {
    adapt(work.timing.interval);
    adapt(work.timing.within);
    for (syntax::Rate& rate : work.rates) adapt(rate.rate);
    for (syntax::Duration& duration : work.durations) adapt(duration.time);
    for (syntax::Duration& setup : work.setups) adapt(setup.time);
    for (syntax::People& people : work.people) adapt(people.number);
    for (syntax::NoEntry& closure : work.closures) adapt(closure.time);
    for (syntax::Use& use : work.uses) {
      adapt(use.amount);
      adapt(use.per);
      if (use.until) rename(*use.until);
    }
  }
  void adapt(syntax::Requirement& requirement) const { adapt(requirement.condition); }
  void adapt(syntax::Conditional& conditional) const {
    adapt(conditional.condition);
    for (syntax::Work& work : conditional.works) adapt(work);
  }
  // What holds no formula and names no stage.
  void adapt(syntax::Season&) const {}
  void adapt(syntax::Room&) const {}
  void adapt(syntax::Discard&) const {}
  void adapt(syntax::Whole&) const {}
  void adapt(syntax::Note&) const {}
  void adapt(syntax::SourceNote&) const {}
  void adapt(syntax::Waive&) const {}

  const syntax::Repeat& repeat_;
  int number_;
};

}  // namespace

syntax::Protocol expand_repeats(const syntax::Protocol& written) {
  syntax::Protocol out = written;
  out.items.clear();
  for (const syntax::ProtocolItem& item : written.items) {
    const auto* repeat = std::get_if<syntax::Repeat>(&item);
    if (repeat == nullptr) {
      out.items.push_back(item);
      continue;
    }
    for (int number = 1; number <= repeat->times; ++number) {
      const Cycle cycle(*repeat, number);
      for (const syntax::Stage& stage : repeat->stages) out.items.emplace_back(cycle.stage(stage));
    }
  }
  return out;
}

}  // namespace budwood::language
