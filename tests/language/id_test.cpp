#include "language/id.hpp"

#include <doctest/doctest.h>

#include <concepts>
#include <string>

namespace budwood::language {

namespace {

struct Pot {
  std::string name;
};
struct Bench {
  std::string name;
};

template <typename List, typename Key>
concept Subscript = requires(const List& list, Key key) {
  list[key];
};
template <typename A, typename B>
concept Equal = requires(A a, B b) {
  a == b;
};

}  // namespace

TEST_CASE("an id names a thing of its own list and no other") {
  static_assert(Subscript<List<Pot>, Id<Pot>>);
  static_assert(!Subscript<List<Pot>, Id<Bench>>);
  static_assert(Subscript<List<int, Pot>, Id<Pot>>);
  static_assert(!Subscript<List<Pot, Bench>, Id<Pot>>);
  static_assert(Equal<Id<Pot>, Id<Pot>>);
  static_assert(!Equal<Id<Pot>, Id<Bench>>);
  static_assert(!std::convertible_to<int, Id<Pot>>);
  static_assert(!std::convertible_to<Id<Pot>, Id<Bench>>);

  const List<Pot> pots{{"clay"}, {"peat"}, {"peat"}};
  CHECK(pots[Id<Pot>(1)].name == "peat");
  CHECK(pots.find("peat") == Id<Pot>(1));
  CHECK(pots.find("peat").number() == 2);
  CHECK_FALSE(pots.find("glass").known());
  CHECK_FALSE(Id<Pot>().known());
  CHECK(Id<Pot>(-1) == Id<Pot>());
}

TEST_CASE("the ids of a list are all there, in order") {
  std::string out;
  const List<Pot> pots{{"clay"}, {"peat"}};
  for (const Id<Pot> id : pots.ids()) out += std::to_string(id) + pots[id].name + " ";
  CHECK(out == "0clay 1peat ");
  for (const Id<Pot> id : List<Pot>().ids()) FAIL("there is none, but ", id.number());
}

}  // namespace budwood::language
