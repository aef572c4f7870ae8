#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <sstream>

#include "language/language.hpp"

/// Any bytes as protocol text: reading must end, and either there is a protocol or there is an
/// error.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source =
      sources.add("fuzz.bud", std::string(reinterpret_cast<const char*>(data), size));
  const auto protocols = language::read(source, diagnostics);
  std::ostringstream out;
  text::print(out, diagnostics, text::Colour::always);
  if (protocols.empty() != diagnostics.has_errors()) std::abort();
  return 0;
}
