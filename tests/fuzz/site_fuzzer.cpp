#include "book/site/site_reader.hpp"
#include "yaml_input.hpp"

/// Any bytes as site.yaml, in a folder that has nothing else.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source = sources.add("site.yaml", fuzz::bytes_of(data, size));
  const auto tree = fuzz::tree_of(source, diagnostics);
  fuzz::accepted = false;
  if (tree) {
    const book::Site site = book::read_site(*tree, "/nowhere", sources, diagnostics);
    fuzz::accepted = !diagnostics.has_errors();
    fuzz::must(!fuzz::accepted || !site.name.value.empty(), "a site without a name");
    // What nobody sees in it is shown as a question mark; what moves a line on is refused.
    fuzz::must(site.name.value.find_first_of("\r\n\t\x1b") == std::string::npos || !fuzz::accepted,
               "a site whose name is not of one line");
  }
  fuzz::check_told(diagnostics);
  return 0;
}
