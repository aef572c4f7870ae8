#include "files/descriptor_buffer.hpp"

#include <cstring>

namespace budwood::files {

DescriptorBuffer::DescriptorBuffer(int descriptor, Disk& disk)
    : descriptor_(descriptor), disk_(disk), held_(1U << 16U) {
  setp(held_.data(), held_.data() + held_.size());
}

bool DescriptorBuffer::finish() {
  drain();
  return error_ == 0;
}

DescriptorBuffer::int_type DescriptorBuffer::overflow(int_type c) {
  if (!drain()) return traits_type::eof();
  if (traits_type::eq_int_type(c, traits_type::eof())) return traits_type::not_eof(c);
  *pptr() = traits_type::to_char_type(c);
  pbump(1);
  return c;
}

std::streamsize DescriptorBuffer::xsputn(const char* text, std::streamsize size) {
  if (size > epptr() - pptr() && !drain()) return 0;
  if (size > epptr() - pptr()) {
    return write_all(text, static_cast<std::size_t>(size)) ? size : 0;
  }
  std::memcpy(pptr(), text, static_cast<std::size_t>(size));
  pbump(static_cast<int>(size));
  return size;
}

int DescriptorBuffer::sync() {
  return drain() ? 0 : -1;
}

bool DescriptorBuffer::drain() {
  const bool written = write_all(pbase(), static_cast<std::size_t>(pptr() - pbase()));
  setp(held_.data(), held_.data() + held_.size());
  return written;
}

bool DescriptorBuffer::write_all(const char* text, std::size_t size) {
  if (error_ == 0 && size > 0) error_ = disk_.write(descriptor_, {text, size});
  return error_ == 0;
}

}  // namespace budwood::files
