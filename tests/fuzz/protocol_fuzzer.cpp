#include "fuzzing.hpp"
#include "language/language.hpp"
#include "language/model.hpp"
#include "language/rules/rules.hpp"

/// Any bytes as protocol text: reading must end, and either there is a protocol or a rule set, or
/// there is an error. A remark more, and other ends of lines, change nothing of what is meant.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const std::string written = fuzz::bytes_of(data, size);
  const text::Source& source = sources.add("fuzz.bud", written);
  language::Document document = language::read(source, diagnostics);
  fuzz::check_told(diagnostics, source);
  const bool nothing = document.protocols.empty() && document.rule_sets.empty();
  fuzz::must(nothing == diagnostics.has_errors(), "neither a protocol nor an error, or both");
  fuzz::accepted = !nothing;
  // Rules that were found right fit every protocol.
  for (language::Protocol& protocol : document.protocols) {
    text::Diagnostics none;
    for (const language::RuleSet& rules : document.rule_sets) {
      language::follow(protocol, rules, none);
    }
  }
  if (nothing) return 0;
  std::string otherwise;
  for (const char c : written) {
    if (c == '\n') otherwise += '\r';
    otherwise += c;
  }
  text::Diagnostics none;
  const language::Document again =
      language::read(sources.add("again.bud", otherwise + "\r\n# A remark.\r\n"), none);
  const bool all = again.protocols.size() == document.protocols.size() &&
                   again.rule_sets.size() == document.rule_sets.size();
  fuzz::must(all, "ends of lines change what is read");
  for (std::size_t i = 0; i < again.protocols.size(); ++i) {
    fuzz::must(again.protocols[i].fingerprint == document.protocols[i].fingerprint,
               "ends of lines change what a protocol means");
  }
  return 0;
}
