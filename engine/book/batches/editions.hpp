/// A changed edition is a warning: the file is what people wrote and plans follow it, and a
/// misspelt note that is put right in the middle of a season must not stop the work. What was
/// kept is data beside it, like levelling's.
#pragma once

#include <string>

#include "text/text.hpp"

namespace budwood::book {

/// The file of a book that keeps what its protocols meant and which edition each batch is on.
inline constexpr const char* editions_file = "editions.yaml";

/// A protocol or rule set as it was when editions were kept.
struct KeptEdition {
  bool rule_set = false;
  std::string name;
  int edition = 1;
  std::string fingerprint;  ///< 64 hexadecimal digits
  text::Span span;
};

}  // namespace budwood::book
