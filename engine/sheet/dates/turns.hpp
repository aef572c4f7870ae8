#pragma once

#include <bit>
#include <cstdint>
#include <optional>
#include <vector>

namespace budwood::sheet {

/// Places in an order, taken from the front while more are added behind.
class Turns {
 public:
  explicit Turns(std::size_t places) : words_((places + bits - 1) / bits) {}

  void add(std::size_t place) { words_[place / bits] |= std::uint64_t{1} << place % bits; }
  void add(const Turns& other) {
    for (std::size_t i = 0; i < words_.size(); ++i) words_[i] |= other.words_[i];
  }
  void clear() { words_.assign(words_.size(), 0); }

  /// Takes out the first one at `from` or behind it.
  std::optional<std::size_t> take(std::size_t from) {
    for (std::size_t i = from / bits; i < words_.size(); ++i) {
      if (words_[i] == 0) continue;
      const auto bit = static_cast<std::size_t>(std::countr_zero(words_[i]));
      words_[i] &= words_[i] - 1;
      return i * bits + bit;
    }
    return std::nullopt;
  }

 private:
  static constexpr std::size_t bits = 64;
  std::vector<std::uint64_t> words_;
};

}  // namespace budwood::sheet
