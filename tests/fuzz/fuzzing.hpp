/// What the fuzzers share. Each is one file `NAME_fuzzer.cpp` with the function that libFuzzer
/// calls; `replay.cpp` calls the same functions without libFuzzer.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "text/text.hpp"

namespace budwood::fuzz {

/// Whether the input that was run last was read without a mistake. The usual inputs of a corpus
/// must be, else they no longer lead anywhere.
inline bool accepted = false;

/// Ends the program, with a line that says what was found, unless `holds`.
void must(bool holds, const char* what);

inline std::string bytes_of(const std::uint8_t* data, std::size_t size) {
  return {reinterpret_cast<const char*>(data), size};
}

/// Prints diagnostics, so that printing is fuzzed as well, and holds them to what is promised of
/// them: a code, a message, places inside their sources, at the bounds of characters where the
/// source is text.
void check_told(const text::Diagnostics& diagnostics);

/// The same, told of one source: every error has its place there.
void check_told(const text::Diagnostics& diagnostics, const text::Source& source);

/// The parts of an input that is made of several: they are parted by lines "=====".
std::string_view part_of(std::string_view input, std::size_t number);

}  // namespace budwood::fuzz
