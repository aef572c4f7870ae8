/// Inputs changed by chance.
#pragma once

#include <random>
#include <string>
#include <vector>

#include "corpus.hpp"

namespace budwood::fuzz {

/// Changes inputs of a corpus. The same seed gives the same changes on every machine.
class Mutation {
 public:
  Mutation(const std::vector<Input>& corpus, unsigned seed);

  /// One of the inputs, changed in one to six places.
  std::string next();

 private:
  std::size_t below(std::size_t count) { return count == 0 ? 0 : random_() % count; }
  const std::string& piece();
  void change(std::string& bytes);

  const std::vector<Input>& corpus_;
  std::vector<std::string> words_;  ///< of the corpus
  std::mt19937 random_;
};

}  // namespace budwood::fuzz
