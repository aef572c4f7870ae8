#include "language/language.hpp"

#include "language/protocol_checker.hpp"

namespace budwood::language {

Protocol check(const syntax::Protocol& written, text::Diagnostics& diagnostics) {
  return ProtocolChecker(written, diagnostics).check();
}

std::vector<Protocol> read(const text::Source& source, text::Diagnostics& diagnostics) {
  const std::size_t before = diagnostics.count(text::Severity::error);
  const syntax::File file = parse(source, diagnostics);
  std::vector<Protocol> out;
  for (const syntax::Protocol& written : file.protocols) {
    out.push_back(check(written, diagnostics));
  }
  // A statement that could not be read would silently be missing from the plan.
  if (diagnostics.count(text::Severity::error) > before) out.clear();
  return out;
}

}  // namespace budwood::language
