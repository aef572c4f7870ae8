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

std::vector<Protocol> read(const text::Source& source, text::Diagnostics& diagnostics) {
  const std::size_t before = diagnostics.count(text::Severity::error);
  const syntax::File file = parse(source, diagnostics);
  std::vector<Protocol> out;
  std::map<std::pair<std::string, int>, text::Span> seen;
  for (const syntax::Protocol& written : file.protocols) {
    out.push_back(check(written, diagnostics));
    const Protocol& protocol = out.back();
    const auto [first, fresh] = seen.try_emplace({protocol.name, protocol.edition}, protocol.span);
    if (fresh) continue;
    text::Diagnostic d;
    d.code = "duplicate-name";
    d.span = protocol.span;
    d.message = "There is already a protocol `" + protocol.name + "`, edition " +
                std::to_string(protocol.edition) + ", in this file.";
    d.advice = "Give it another name or edition.";
    d.related.push_back({first->second, "The first is here."});
    diagnostics.add(std::move(d));
  }
  // A statement that could not be read would silently be missing from the plan.
  if (diagnostics.count(text::Severity::error) > before) out.clear();
  return out;
}

}  // namespace budwood::language
