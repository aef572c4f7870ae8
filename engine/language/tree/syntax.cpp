#include "language/tree/syntax.hpp"

namespace budwood::language::syntax {

namespace {

std::string path_text(const Formula& path) {
  std::string out = path.name.text;
  for (const Name& member : path.members) out += "." + member.text;
  return out;
}

}  // namespace

std::string Message::text() const {
  std::string out;
  for (const Value& value : values) out += value.before + "{" + path_text(value.path) + "}";
  return out + rest;
}

}  // namespace budwood::language::syntax
