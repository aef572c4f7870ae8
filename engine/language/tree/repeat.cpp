#include "language/tree/repeat.hpp"

#include <algorithm>

#include "language/check/titles.hpp"
#include "language/tree/references.hpp"

namespace budwood::language {

namespace {

/// One cycle of a repeated block: renames what refers to it.
class Cycle {
 public:
  Cycle(const syntax::Repeat& repeat, int number) : repeat_(repeat), number_(number) {}

  syntax::Stage stage(const syntax::Stage& written) const {
    syntax::Stage out = written;
    out.title =
        syntax::Text{title_of(written.title, written.name) + " (cycle " + std::to_string(number_) +
                         " of " + std::to_string(repeat_.times) + ")",
                     written.name.span};
    rename(out.name);
    visit(out, {[this](syntax::Name& name, Refers refers) {
                  if (refers == Refers::stage || refers == Refers::value) rename(name);
                },
                [this](syntax::Formula& formula) { count(formula); },
                {}});
    return out;
  }

 private:
  void rename(syntax::Name& name) const {
    const bool own = std::any_of(repeat_.stages.begin(), repeat_.stages.end(),
                                 [&](const syntax::Stage& s) { return s.name.text == name.text; });
    if (own) name.text += "_" + std::to_string(number_);
  }

  void count(syntax::Formula& formula) const {
    if (formula.kind != syntax::Formula::Kind::name || formula.name.text != "cycle") return;
    formula.kind = syntax::Formula::Kind::number;
    formula.number = number_;
  }

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
