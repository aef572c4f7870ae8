#include "page/http/timed_stream.hpp"

#include <arpa/inet.h>
#include <poll.h>
#include <sys/socket.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

namespace budwood::page {

namespace {

constexpr auto longest_write = std::chrono::milliseconds(10'000);

void address_of(const sockaddr_storage& address, std::string& ip, int& port) {
  std::array<char, INET6_ADDRSTRLEN> text{};
  if (address.ss_family == AF_INET) {
    const auto& four = reinterpret_cast<const sockaddr_in&>(address);
    inet_ntop(AF_INET, &four.sin_addr, text.data(), text.size());
    port = ntohs(four.sin_port);
  } else if (address.ss_family == AF_INET6) {
    const auto& six = reinterpret_cast<const sockaddr_in6&>(address);
    inet_ntop(AF_INET6, &six.sin6_addr, text.data(), text.size());
    port = ntohs(six.sin6_port);
  }
  ip = text.data();
}

}  // namespace

bool TimedStream::poll_for(short events, std::chrono::milliseconds most) const {
  const Clock::time_point until = Clock::now() + most;
  while (true) {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(until - Clock::now());
    pollfd one{socket_, events, 0};
    const int got = ::poll(&one, 1, static_cast<int>(std::max<std::int64_t>(0, left.count())));
    if (got >= 0 || errno != EINTR) return got > 0 && (one.revents & (events | POLLHUP)) != 0;
  }
}

bool TimedStream::wait(std::chrono::milliseconds most) {
  return begin_ < end_ || poll_for(POLLIN, most);
}

bool TimedStream::is_readable() const {
  return begin_ < end_ || poll_for(POLLIN, std::chrono::milliseconds(0));
}

bool TimedStream::is_writable() const {
  // Whoever has gone away is readable, and gives nothing.
  char one = 0;
  const ssize_t got = ::recv(socket_, &one, 1, MSG_PEEK | MSG_DONTWAIT);
  if (got == 0 || (got < 0 && errno != EAGAIN && errno != EWOULDBLOCK && errno != EINTR)) {
    return false;
  }
  return poll_for(POLLOUT, longest_write);
}

ssize_t TimedStream::read(char* to, size_t size) {
  if (begin_ == end_) {
    const auto left =
        std::chrono::duration_cast<std::chrono::milliseconds>(deadline_ - Clock::now());
    if (left.count() <= 0 || !poll_for(POLLIN, left)) return -1;
    const ssize_t got = ::recv(socket_, buffer_.data(), buffer_.size(), 0);
    if (got <= 0) return got;
    begin_ = 0;
    end_ = static_cast<std::size_t>(got);
  }
  const std::size_t count = std::min(size, end_ - begin_);
  std::memcpy(to, buffer_.data() + begin_, count);
  begin_ += count;
  return static_cast<ssize_t>(count);
}

ssize_t TimedStream::write(const char* from, size_t size) {
  if (!poll_for(POLLOUT, longest_write)) return -1;
  return ::send(socket_, from, size, MSG_NOSIGNAL | MSG_DONTWAIT);
}

void TimedStream::get_remote_ip_and_port(std::string& ip, int& port) const {
  sockaddr_storage address{};
  socklen_t length = sizeof address;
  if (::getpeername(socket_, reinterpret_cast<sockaddr*>(&address), &length) == 0) {
    address_of(address, ip, port);
  }
}

void TimedStream::get_local_ip_and_port(std::string& ip, int& port) const {
  sockaddr_storage address{};
  socklen_t length = sizeof address;
  if (::getsockname(socket_, reinterpret_cast<sockaddr*>(&address), &length) == 0) {
    address_of(address, ip, port);
  }
}

}  // namespace budwood::page
