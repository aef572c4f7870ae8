/// Each statement keeps the place where it is written, and a protocol knows its layers by the
/// stretch of text that each takes: which layer a value comes from is looked up, not carried
/// along.
#pragma once

#include <string>

#include "text/text.hpp"

namespace budwood::language {

/// A protocol, or one that it is based on: which, and where all of it stands.
struct Layer {
  std::string name;
  int edition = 1;
  text::Span span;
};

}  // namespace budwood::language
