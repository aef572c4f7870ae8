/// The inputs that a fuzzer starts from.
#pragma once

#include <string>
#include <vector>

namespace budwood::fuzz {

struct Input {
  std::string name;  ///< of its file
  std::string bytes;
};

/// One file. NAME.repeat stands for something larger: each of its lines is a number and a piece,
/// which is repeated so often; `\n`, `\t` and `\\` in a piece are what they are in C, and `\xHH` is
/// a byte.
Input read_input(const std::string& path);

/// The files of a folder, by name.
std::vector<Input> read_corpus(const std::string& folder);

}  // namespace budwood::fuzz
