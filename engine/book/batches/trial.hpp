/// A trial: a batch whose trays are given to several techniques (arms) by lot, so that they can be
/// compared.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "book/yaml/written.hpp"

namespace budwood::book {

/// A tray of a trial: which arm it was given to, by the letter of the arm.
struct TrialTray {
  int number = 0;     ///< from 1, through all blocks
  std::string block;  ///< "left bench"; "" when there is one block only
  char letter = 'A';
};

/// What every arm of a trial knows of it. Arms stand under letters that were drawn, too, so that
/// whoever counts need not know which is which.
struct Trial {
  std::string name;   ///< of the trial, as the batch is written
  std::string arm;    ///< of this batch: "clip"
  char letter = 'A';  ///< of this arm
  int arms = 2;
  int trays_an_arm = 1;
  int blocks = 1;
  std::vector<TrialTray> trays;  ///< of all arms, by number
  text::Span span;

  /// The tray of that number if it belongs to this arm; nullptr otherwise.
  const TrialTray* own_tray(const std::string& number) const;
};

/// Draws the trays of a trial: in each block as many for every arm, in an order that depends on
/// nothing but the seed. `blocks` has at least one name; trays an arm are a multiple of their
/// number.
std::vector<TrialTray> draw_trays(int arms, int trays_an_arm,
                                  const std::vector<std::string>& blocks, std::uint64_t seed);
/// Which letter each arm has, drawn from the seed.
std::vector<char> draw_letters(int arms, std::uint64_t seed);

}  // namespace budwood::book
