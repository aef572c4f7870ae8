/// Each statement keeps the place where it is written, and a protocol knows its layers by the
/// stretch of text that each takes: which layer a value comes from is looked up, not carried
/// along.
#pragma once

#include <string>

#include "text/text.hpp"

namespace budwood::language {

/// What a variant of a protocol is called: a protocol of its own, with a name that no other can
/// have, "bench_graft.splice".
inline std::string variant_name(const std::string& protocol, const std::string& variant) {
  return protocol + "." + variant;
}
/// "bench_graft" of both "bench_graft" and "bench_graft.splice".
inline std::string method_of(const std::string& name) {
  return name.substr(0, name.find('.'));
}
/// "splice" of "bench_graft.splice", "" of "bench_graft".
inline std::string variant_of(const std::string& name) {
  const std::size_t dot = name.find('.');
  return dot == std::string::npos ? "" : name.substr(dot + 1);
}

/// A protocol, or one that it is based on: which, and where all of it stands.
struct Layer {
  std::string name;
  int edition = 1;
  text::Span span;
};

}  // namespace budwood::language
