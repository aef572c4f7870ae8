#include "book/yaml/yaml_message.hpp"

#include <vector>

namespace budwood::book {

namespace {

struct Explanation {
  std::string_view beginning;  ///< of the parser's message
  std::string_view message;
  std::string_view advice;
};

const std::vector<Explanation>& explanations() {
  static const std::vector<Explanation> all = {
      {"end of sequence flow not found",
       "A list that was opened with `[` is not closed before this.",
       "Put a `]` at its end and commas between its entries."},
      {"end of map flow not found", "What was opened with `{` is not closed before this.",
       "Put a `}` at its end and commas between its entries."},
      {"illegal flow end", "This bracket closes nothing that was opened.",
       "Remove it, or open it."},
      {"end of map not found", "This line does not fit under the lines before it.",
       "Start it in the same column as the keys it belongs to, and write `key: value`."},
      {"end of sequence not found", "This line does not fit into the list before it.",
       "Start it in the same column as the other entries, with `- `."},
      {"illegal map value", "A `:` has no place here.",
       "Check how far this line is indented. Text that holds `: ` belongs in double quotes."},
      {"illegal block entry", "A `-` has no place here.",
       "Put each entry of a list on a line of its own; a text that begins with `-` belongs in "
       "double "
       "quotes."},
      {"illegal EOF in scalar", "A quoted text is not closed before the end of the file.",
       "Put a quote at its end."},
      {"unknown token", "A value cannot begin with this character.",
       "Put the value in double quotes."},
      {"unknown escape character", "There is no such escape in a double-quoted text.",
       "Write a backslash twice, or use single quotes."},
  };
  return all;
}

}  // namespace

YamlMessage explain_yaml_error(std::string_view parser_message, std::string_view before) {
  const std::string_view indent = before.substr(0, before.find_first_not_of(" \t"));
  if (indent.find('\t') != std::string_view::npos) {
    return {"This line is indented with a tab, which YAML does not allow.",
            "Indent with spaces only."};
  }
  for (const Explanation& known : explanations()) {
    if (parser_message.starts_with(known.beginning)) {
      return {std::string(known.message), std::string(known.advice)};
    }
  }
  return {"This is not well-formed YAML: " + std::string(parser_message) + ".",
          "Check indentation, colons and quotes on this line and the one before."};
}

}  // namespace budwood::book
