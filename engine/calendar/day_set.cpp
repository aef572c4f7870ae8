#include "calendar/day_set.hpp"

#include <algorithm>
#include <bit>
#include <cstdlib>

namespace budwood::calendar {

namespace {

constexpr int word_bits = 64;
constexpr std::size_t word_count = last_day / word_bits + 1;
constexpr std::uint64_t every_bit = ~std::uint64_t{0};
/// The days that exist in the last word.
constexpr std::uint64_t last_word_bits = every_bit >> (word_bits - 1 - last_day % word_bits);

bool in_calendar(Day day) {
  return day >= first_day && day <= last_day;
}
std::size_t word_of(Day day) {
  return static_cast<std::size_t>(day) / word_bits;
}
int bit_of(Day day) {
  return day % word_bits;
}

}  // namespace

DaySet::DaySet() : words_(word_count, 0) {}

DaySet DaySet::none() {
  return {};
}

DaySet DaySet::all() {
  return between(first_day, last_day);
}

DaySet DaySet::between(Day first, Day last) {
  DaySet set;
  set.insert(first, last);
  return set;
}

void DaySet::insert(Day day) {
  if (in_calendar(day)) words_[word_of(day)] |= std::uint64_t{1} << bit_of(day);
}

void DaySet::insert(Day first, Day last) {
  first = std::max(first, first_day);
  last = std::min(last, last_day);
  if (first > last) return;
  const std::uint64_t head = every_bit << bit_of(first);
  const std::uint64_t tail = every_bit >> (word_bits - 1 - bit_of(last));
  if (word_of(first) == word_of(last)) {
    words_[word_of(first)] |= head & tail;
    return;
  }
  words_[word_of(first)] |= head;
  for (std::size_t i = word_of(first) + 1; i < word_of(last); ++i) words_[i] = every_bit;
  words_[word_of(last)] |= tail;
}

void DaySet::remove(Day day) {
  if (in_calendar(day)) words_[word_of(day)] &= ~(std::uint64_t{1} << bit_of(day));
}

bool DaySet::contains(Day day) const {
  return in_calendar(day) && ((words_[word_of(day)] >> bit_of(day)) & 1U) != 0;
}

bool DaySet::empty() const {
  return std::all_of(words_.begin(), words_.end(), [](std::uint64_t word) { return word == 0; });
}

std::size_t DaySet::size() const {
  std::size_t total = 0;
  for (const std::uint64_t word : words_) total += static_cast<std::size_t>(std::popcount(word));
  return total;
}

std::optional<Day> DaySet::next(Day day) const {
  if (day > last_day) return std::nullopt;
  day = std::max(day, first_day);
  std::size_t at = word_of(day);
  std::uint64_t word = words_[at] & (every_bit << bit_of(day));
  while (word == 0) {
    if (++at == word_count) return std::nullopt;
    word = words_[at];
  }
  return static_cast<Day>(at) * word_bits + std::countr_zero(word);
}

std::optional<Day> DaySet::previous(Day day) const {
  if (day < first_day) return std::nullopt;
  day = std::min(day, last_day);
  std::size_t at = word_of(day);
  std::uint64_t word = words_[at] & (every_bit >> (word_bits - 1 - bit_of(day)));
  while (word == 0) {
    if (at-- == 0) return std::nullopt;
    word = words_[at];
  }
  return static_cast<Day>(at) * word_bits + word_bits - 1 - std::countl_zero(word);
}

DaySet& DaySet::operator&=(const DaySet& other) {
  for (std::size_t i = 0; i < word_count; ++i) words_[i] &= other.words_[i];
  return *this;
}

DaySet& DaySet::operator|=(const DaySet& other) {
  for (std::size_t i = 0; i < word_count; ++i) words_[i] |= other.words_[i];
  return *this;
}

DaySet DaySet::seen_from(Day offset) const {
  DaySet result;
  if (offset > last_day || offset < -last_day) return result;
  const std::size_t skip = static_cast<std::size_t>(std::abs(offset)) / word_bits;
  const int shift = std::abs(offset) % word_bits;
  for (std::size_t i = 0; i + skip < word_count; ++i) {
    if (offset >= 0) {
      const std::uint64_t above = i + skip + 1 < word_count ? words_[i + skip + 1] : 0;
      result.words_[i] =
          words_[i + skip] >> shift | (shift == 0 ? 0 : above << (word_bits - shift));
    } else {
      const std::uint64_t below = i > 0 ? words_[i - 1] : 0;
      result.words_[i + skip] =
          words_[i] << shift | (shift == 0 ? 0 : below >> (word_bits - shift));
    }
  }
  result.words_.back() &= last_word_bits;
  return result;
}

DaySet DaySet::any_within(Day from, Day to) const {
  if (to < from) return {};
  if (from < 0 && to > 0) {
    // A shift one way and back would lose days at the calendar's edge, so each side is done alone.
    DaySet result = any_within(from, 0);
    result |= any_within(0, to);
    return result;
  }
  const Day direction = from >= 0 ? 1 : -1;
  const Day near = from >= 0 ? from : to;
  const std::int64_t wanted =
      std::min<std::int64_t>(std::int64_t{to} - from, std::int64_t{last_day}) + 1;
  // The set widened by `covered` days, doubled until it is wide enough.
  DaySet result = *this;
  for (std::int64_t covered = 1; covered < wanted;) {
    const std::int64_t step = std::min(covered, wanted - covered);
    result |= result.seen_from(direction * static_cast<Day>(step));
    covered += step;
  }
  return near == 0 ? result : result.seen_from(near);
}

}  // namespace budwood::calendar
