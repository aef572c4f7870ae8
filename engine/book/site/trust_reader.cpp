#include "book/site/trust_reader.hpp"

#include "book/yaml/values.hpp"

namespace budwood::book {

std::map<std::string, Placed<std::string>> read_trusts(const Node* node,
                                                       text::Diagnostics& diagnostics) {
  constexpr std::size_t digits = 64;
  std::map<std::string, Placed<std::string>> out;
  const Wanted wanted{"trusts", "a name and a public key on each line", "north_house: 3f09..."};
  for (const Entry* entry : named_entries(node, wanted, diagnostics)) {
    const auto key = read_line(entry->value, wanted, 2 * digits, diagnostics);
    if (!key) continue;
    if (key->value.size() != digits ||
        key->value.find_first_not_of("0123456789abcdef") != std::string::npos) {
      diagnostics.error("wrong-value", entry->value.span,
                        "A public key has 64 digits, 0 to 9 and a to f.",
                        "The other site finds its own in the file that `budwood keys` made, "
                        "which ends in .public.");
      continue;
    }
    out.emplace(entry->key, *key);
  }
  return out;
}

}  // namespace budwood::book
