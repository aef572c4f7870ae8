#include "language/language.hpp"

#include <algorithm>

#include <map>

#include "language/protocol_checker.hpp"
#include "language/repeat.hpp"

namespace budwood::language {

Protocol check(const syntax::Protocol& written, text::Diagnostics& diagnostics) {
  const bool repeats =
      std::any_of(written.items.begin(), written.items.end(), [](const syntax::ProtocolItem& item) {
        return std::holds_alternative<syntax::Repeat>(item);
      });
  if (!repeats) return ProtocolChecker(written, diagnostics).check();
  const syntax::Protocol plain = expand_repeats(written);
  return ProtocolChecker(plain, diagnostics).check();
}

namespace {

/// Reports a second protocol or rule set of one name and edition.
class OnceInFile {
 public:
  OnceInFile(std::string kind, text::Diagnostics& diagnostics)
      : kind_(std::move(kind)), diagnostics_(diagnostics) {}

  void meet(const std::string& name, int edition, const text::Span& span) {
    const auto [first, fresh] = seen_.try_emplace({name, edition}, span);
    if (fresh) return;
    text::Diagnostic d;
    d.code = "duplicate-name";
    d.span = span;
    d.message = "There is already a " + kind_ + " `" + name + "`, edition " +
                std::to_string(edition) + ", in this file.";
    d.advice = "Give it another name or edition.";
    d.related.push_back({first->second, "The first is here."});
    diagnostics_.add(std::move(d));
  }

 private:
  std::string kind_;
  text::Diagnostics& diagnostics_;
  std::map<std::pair<std::string, int>, text::Span> seen_;
};

}  // namespace

Document read(const text::Source& source, text::Diagnostics& diagnostics) {
  const std::size_t before = diagnostics.count(text::Severity::error);
  const syntax::File file = parse(source, diagnostics);
  Document out;
  OnceInFile protocols("protocol", diagnostics);
  for (const syntax::Protocol& written : file.protocols) {
    out.protocols.push_back(check(written, diagnostics));
    const Protocol& one = out.protocols.back();
    protocols.meet(one.name, one.edition, one.span);
  }
  OnceInFile rule_sets("rule set", diagnostics);
  for (const syntax::Rules& written : file.rule_sets) {
    out.rule_sets.push_back(check(written, diagnostics));
    const RuleSet& one = out.rule_sets.back();
    rule_sets.meet(one.name, one.edition, one.span);
  }
  // A statement that could not be read would silently be missing from the plan.
  if (diagnostics.count(text::Severity::error) > before) return {};
  return out;
}

}  // namespace budwood::language
