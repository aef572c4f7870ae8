/// What the YAML parser complains about, in a grower's words. Private to this module.
#pragma once

#include <string>
#include <string_view>

namespace budwood::book {

struct YamlMessage {
  std::string message;
  std::string advice;
};

/// `parser_message` is what the parser says; `before` is the text of the line before the place that
/// it complains about.
YamlMessage explain_yaml_error(std::string_view parser_message, std::string_view before);

}  // namespace budwood::book
