#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <sstream>

#include "language/language.hpp"
#include "language/model.hpp"
#include "language/rules/rules.hpp"

/// Any bytes as protocol text: reading must end, and either there is a protocol or a rule set, or
/// there is an error.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source =
      sources.add("fuzz.bud", std::string(reinterpret_cast<const char*>(data), size));
  language::Document document = language::read(source, diagnostics);
  std::ostringstream out;
  text::print(out, diagnostics, text::Colour::always);
  const bool nothing = document.protocols.empty() && document.rule_sets.empty();
  if (nothing != diagnostics.has_errors()) std::abort();
  // Rules that were found right fit every protocol.
  for (language::Protocol& protocol : document.protocols) {
    text::Diagnostics none;
    for (const language::RuleSet& rules : document.rule_sets) {
      language::follow(protocol, rules, none);
    }
  }
  return 0;
}
