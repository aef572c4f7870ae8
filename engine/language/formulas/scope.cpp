#include "language/formulas/scope.hpp"
#include "language/typed_words.hpp"
#include "units/units.hpp"

#include <algorithm>

namespace budwood::language {

int Scope::space_of(Declared::Kind kind) {
  switch (kind) {
    case Declared::Kind::supply:
      return 1;
    case Declared::Kind::part:
      return 2;
    case Declared::Kind::observation:
      return 3;
    default:
      return 0;
  }
}

std::string describe(Declared::Kind kind) {
  switch (kind) {
    case Declared::Kind::input:
      return "an input";
    case Declared::Kind::let:
      return "a `let`";
    case Declared::Kind::table:
      return "a table";
    case Declared::Kind::stage:
      return "a stage";
    case Declared::Kind::supply:
      return "a supply";
    case Declared::Kind::part:
      return "a part";
    case Declared::Kind::observation:
      return "an observation";
  }
  return {};
}

namespace {

/// How the name would be declared.
std::string declaration(Declared::Kind kind, const std::string& name) {
  std::string line;
  switch (kind) {
    case Declared::Kind::input:
      line = "input " + name + " = 85 %";
      break;
    case Declared::Kind::supply:
      line = "supply " + name + " \"What it is\" in pieces";
      break;
    case Declared::Kind::part:
      line = "part " + name + " \"What it is\"";
      break;
    case Declared::Kind::observation:
      line = "observe " + name + " in % \"What is looked at\"";
      break;
    default:
      return {};
  }
  return "Declare it with a line such as: " + line;
}

void report_wrong_kind(const syntax::Name& name, Declared::Kind kind, const std::string& what,
                       text::Diagnostics& diagnostics) {
  std::string advice;
  if (kind == Declared::Kind::stage) {
    advice = "Say what of the stage, such as `" + name.text + ".plants`.";
  } else if (kind == Declared::Kind::table) {
    advice = "Look a value up in it, such as `" + name.text + "(20)`.";
  }
  // Only in formulas can something of them be meant.
  if (what != "an input or `let`") advice.clear();
  diagnostics.error("wrong-kind", name.span,
                    "`" + name.text + "` is " + describe(kind) + ", not " + what + ".", advice);
}

}  // namespace

void Scope::declare(const syntax::Name& name, Declared::Kind kind, std::int32_t index,
                    text::Diagnostics& diagnostics) {
  const auto [place, fresh] =
      names_.try_emplace({space_of(kind), name.text}, Declared{kind, index, name.span});
  if (fresh) return;
  text::Diagnostic d;
  d.code = "duplicate-name";
  d.span = name.span;
  d.message = "There is already " + describe(place->second.kind) + " named `" + name.text + "`.";
  d.advice = "Give one of them another name.";
  d.related.push_back({place->second.span, "The first is here."});
  diagnostics.add(std::move(d));
}

void Scope::forgive(const std::vector<std::string>& names) {
  forgiven_.insert(names.begin(), names.end());
}

std::optional<Declared> Scope::find(const syntax::Name& name,
                                    std::initializer_list<Declared::Kind> kinds,
                                    const std::string& what, text::Diagnostics& diagnostics,
                                    const std::vector<std::string>& others) {
  const std::pair<int, std::string> key{space_of(*kinds.begin()), name.text};
  const auto found = names_.find(key);
  const auto wanted = [&](Declared::Kind kind) {
    return std::find(kinds.begin(), kinds.end(), kind) != kinds.end();
  };
  if (found != names_.end()) {
    used_.insert(key);
    if (wanted(found->second.kind)) return found->second;
    report_wrong_kind(name, found->second.kind, what, diagnostics);
    return std::nullopt;
  }
  if (forgiven_.contains(name.text)) return std::nullopt;
  for (const int space : {0, 1, 2}) {
    const auto elsewhere = names_.find({space, name.text});
    if (elsewhere == names_.end()) continue;
    report_wrong_kind(name, elsewhere->second.kind, what, diagnostics);
    used_.insert(elsewhere->first);
    return std::nullopt;
  }
  std::string advice;
  if (!diagnostics.crowded()) {
    std::vector<std::string> near = others;
    for (const auto& [known, declared] : names_) {
      if (wanted(declared.kind)) near.push_back(known.second);
    }
    constexpr std::size_t few = 6;
    const bool value = wanted(Declared::Kind::input) || wanted(Declared::Kind::let);
    if (value) advice = advice_for_value(name.text);
    const auto unit = units::find_unit(name.text);
    if (value && advice.empty() && unit && unit->noun.empty()) {
      advice =
          "`" + name.text + "` is a unit, which stands behind its number: `3 h`, `55 per hour`.";
    }
    if (advice.empty()) advice = text::did_you_mean(name.text, near);
    if (advice.empty() && !near.empty() && near.size() <= few) {
      for (std::string& one : near) one = "`" + one + "`";
      advice = "Known here: " + text::list_words(near, "and") + ".";
    }
    if (advice.empty()) advice = declaration(*kinds.begin(), name.text);
  }
  diagnostics.error(
      "unknown-name", name.span,
      "There is no " + what.substr(what.find(' ') + 1) + " named `" + name.text + "`.", advice);
  return std::nullopt;
}

std::optional<Declared> Scope::use_if_declared(const std::string& name, Declared::Kind kind) {
  const std::pair<int, std::string> key{space_of(kind), name};
  const auto found = names_.find(key);
  if (found == names_.end()) return std::nullopt;
  used_.insert(key);
  return found->second;
}

const Declared* Scope::peek(const std::string& name) const {
  const auto found = names_.find({0, name});
  return found == names_.end() ? nullptr : &found->second;
}

std::vector<std::pair<std::string, Declared>> Scope::unused() const {
  std::vector<std::pair<std::string, Declared>> out;
  for (const auto& [key, declared] : names_) {
    if (!used_.contains(key)) out.emplace_back(key.second, declared);
  }
  std::sort(out.begin(), out.end(),
            [](const auto& a, const auto& b) { return a.second.span.begin < b.second.span.begin; });
  return out;
}

}  // namespace budwood::language
