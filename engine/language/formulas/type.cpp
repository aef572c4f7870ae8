#include "language/formulas/type.hpp"

namespace budwood::language {

bool alike(const Type& a, const Type& b) {
  if (a.kind != b.kind) return false;
  if (a.kind != Type::Kind::quantity || a.dimension == b.dimension) return true;
  return (a.loose && b.dimension == units::count) || (b.loose && a.dimension == units::count);
}

std::string describe(const Type& type) {
  switch (type.kind) {
    case Type::Kind::temperature:
      return "a temperature";
    case Type::Kind::date:
      return "a date";
    case Type::Kind::truth:
      return "a condition";
    case Type::Kind::quantity:
      break;
  }
  if (type.loose) return "a plain number";
  if (type.dimension == units::temperature) return "a difference of temperatures";
  return units::describe(type.dimension);
}

}  // namespace budwood::language
