#pragma once

#include <cstddef>
#include <cstdint>
#include <type_traits>
#include <vector>

namespace budwood::language {

/// The place of a thing in the list of its kind; without a place it is none.
///
///   StageId id(2);             // the third stage
///   protocol.stages[id].name
///   protocol.parts[id]         // does not compile
///
/// It can be read as a plain number (-1: none), but no number becomes one by itself, and ids of
/// different kinds neither mix nor compare.
template <typename Thing>
class Id {
 public:
  constexpr Id() = default;
  template <typename Number, typename = std::enable_if_t<std::is_integral_v<Number>>>
  constexpr explicit Id(Number place) : place_(static_cast<std::int32_t>(place)) {}

  constexpr operator std::int32_t() const { return place_; }
  /// Whether there is such a thing.
  constexpr bool known() const { return place_ >= 0; }
  /// From 0.
  constexpr std::size_t place() const { return static_cast<std::size_t>(place_); }
  /// As people count.
  constexpr std::int32_t number() const { return place_ + 1; }

  friend constexpr bool operator==(Id, Id) = default;
  template <typename Other>
  friend bool operator==(Id, Id<Other>) = delete;

 private:
  std::int32_t place_ = -1;
};

/// A list whose things are named by ids: its own, or those of the list beside which it stands.
template <typename Item, typename Thing = Item>
class List : public std::vector<Item> {
 public:
  using Base = std::vector<Item>;
  using Base::Base;
  using Base::operator[];

  const Item& operator[](Id<Thing> id) const { return Base::operator[](id.place()); }
  Item& operator[](Id<Thing> id) { return Base::operator[](id.place()); }
  template <typename Other>
  const Item& operator[](Id<Other> id) const = delete;

  /// All ids, in order: `for (const StageId s : protocol.stages.ids())`.
  class Ids {
   public:
    class Iterator {
     public:
      constexpr explicit Iterator(std::int32_t place) : place_(place) {}
      constexpr Id<Thing> operator*() const { return Id<Thing>(place_); }
      constexpr Iterator& operator++() {
        ++place_;
        return *this;
      }
      friend constexpr bool operator==(Iterator, Iterator) = default;

     private:
      std::int32_t place_;
    };
    constexpr explicit Ids(std::size_t size) : size_(static_cast<std::int32_t>(size)) {}
    constexpr Iterator begin() const { return Iterator(0); }
    constexpr Iterator end() const { return Iterator(size_); }

   private:
    std::int32_t size_;
  };
  Ids ids() const { return Ids(Base::size()); }

  /// The first that is called so; none when there is none.
  template <typename Name>
  Id<Thing> find(const Name& name) const {
    for (std::size_t i = 0; i < Base::size(); ++i) {
      if (Base::operator[](i).name == name) return Id<Thing>(i);
    }
    return {};
  }
};

struct Input;
struct Let;
struct Table;
struct Supply;
struct Part;
struct Observation;
struct Work;
struct Stage;

using InputId = Id<Input>;
using SupplyId = Id<Supply>;
using PartId = Id<Part>;
using ObservationId = Id<Observation>;
using WorkId = Id<Work>;
using StageId = Id<Stage>;

/// A formula is the number of its root in `Protocol::nodes`.
using FormulaId = std::int32_t;
inline constexpr FormulaId no_formula = -1;

}  // namespace budwood::language
