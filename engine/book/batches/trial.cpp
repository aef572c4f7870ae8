#include "book/batches/trial.hpp"

#include <random>

namespace budwood::book {

namespace {

/// Fisher and Yates' shuffle. Written out, because what the standard library makes of a seed
/// differs from one system to the next, and the lot must not.
template <class Item>
void shuffle(std::vector<Item>& items, std::mt19937_64& random) {
  for (std::size_t i = items.size(); i > 1; --i) std::swap(items[i - 1], items[random() % i]);
}

}  // namespace

const TrialTray* Trial::own_tray(const std::string& number) const {
  for (const TrialTray& tray : trays) {
    if (tray.letter == letter && std::to_string(tray.number) == number) return &tray;
  }
  return nullptr;
}

std::vector<TrialTray> draw_trays(int arms, int trays_an_arm,
                                  const std::vector<std::string>& blocks, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::vector<TrialTray> out;
  const int each = trays_an_arm / static_cast<int>(blocks.size());
  for (const std::string& block : blocks) {
    std::vector<char> letters;
    for (int arm = 0; arm < arms; ++arm) {
      letters.insert(letters.end(), static_cast<std::size_t>(each), static_cast<char>('A' + arm));
    }
    shuffle(letters, random);
    for (const char letter : letters) {
      out.push_back({static_cast<int>(out.size()) + 1, blocks.size() > 1 ? block : "", letter});
    }
  }
  return out;
}

std::vector<char> draw_letters(int arms, std::uint64_t seed) {
  // Another stream than that of the trays, so that one does not tell of the other.
  std::mt19937_64 random(~seed);
  std::vector<char> letters;
  for (int arm = 0; arm < arms; ++arm) letters.push_back(static_cast<char>('A' + arm));
  shuffle(letters, random);
  return letters;
}

}  // namespace budwood::book
