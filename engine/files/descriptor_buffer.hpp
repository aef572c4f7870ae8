#pragma once

#include <cstddef>
#include <streambuf>
#include <vector>

#include "files/disk.hpp"

namespace budwood::files {

/// Buffers what is written to a file descriptor and remembers why writing failed: a plain stream
/// forgets it. Does not own the descriptor.
class DescriptorBuffer : public std::streambuf {
 public:
  DescriptorBuffer(int descriptor, Disk& disk);

  /// Writes what is still held. False when anything, now or before, could not be written.
  bool finish();
  /// The system's number of the first error; 0 when all went well.
  int error() const { return error_; }

 protected:
  int_type overflow(int_type c) override;
  std::streamsize xsputn(const char* text, std::streamsize size) override;
  int sync() override;

 private:
  bool drain();
  bool write_all(const char* text, std::size_t size);

  int descriptor_;
  Disk& disk_;
  int error_ = 0;
  std::vector<char> held_;
};

}  // namespace budwood::files
