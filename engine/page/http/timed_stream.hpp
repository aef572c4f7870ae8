#pragma once

#include <httplib.h>

#include <array>
#include <chrono>

namespace budwood::page {

/// A connection that gives up when a request takes too long to come in, however lively its drops
/// are: httplib bounds each read, and not all of them together.
class TimedStream : public httplib::Stream {
 public:
  using Clock = std::chrono::steady_clock;

  /// The socket is closed by whoever opened it.
  explicit TimedStream(socket_t socket) : socket_(socket) {}

  /// Whether something comes in until then; what was read too far before counts.
  bool wait(std::chrono::milliseconds most);
  /// From now on a request may take so long to come in.
  void start(std::chrono::milliseconds most) { deadline_ = Clock::now() + most; }

  bool is_readable() const override;
  bool is_writable() const override;
  ssize_t read(char* to, size_t size) override;
  ssize_t write(const char* from, size_t size) override;
  void get_remote_ip_and_port(std::string& ip, int& port) const override;
  void get_local_ip_and_port(std::string& ip, int& port) const override;
  socket_t socket() const override { return socket_; }

 private:
  bool poll_for(short events, std::chrono::milliseconds most) const;

  socket_t socket_;
  Clock::time_point deadline_ = Clock::now();
  std::array<char, 8192> buffer_{};
  std::size_t begin_ = 0, end_ = 0;  ///< of what was read and not asked for yet
};

}  // namespace budwood::page
