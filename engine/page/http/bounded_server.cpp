#include "page/http/bounded_server.hpp"

#include <sys/socket.h>
#include <unistd.h>

#include "page/http/timed_stream.hpp"

namespace budwood::page {

namespace {

constexpr auto longest_request = std::chrono::milliseconds(20'000);
/// A connection that rests keeps a thread, so it does not rest for long.
constexpr auto longest_pause = std::chrono::milliseconds(2'000);
constexpr int most_requests = 1000;
/// An open window keeps one for what it is told by itself; they cost little more than their place.
constexpr std::size_t threads = 448;

}  // namespace

BoundedServer::BoundedServer() {
  new_task_queue = [] { return new httplib::ThreadPool(threads); };
  set_payload_max_length(largest_body);
  set_keep_alive_max_count(most_requests);
  set_tcp_nodelay(true);
  // Without SO_REUSEPORT, which would let two servers share an address unseen.
  set_socket_options([](socket_t socket) {
    const int yes = 1;
    ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
  });
}

bool BoundedServer::process_and_close_socket(socket_t socket) {
  const std::size_t before = open_.fetch_add(1);
  bool done = false;
  if (before < most_connections) {
    TimedStream stream(socket);
    for (int left = most_requests; left > 0 && svr_sock_ != INVALID_SOCKET; --left) {
      if (!stream.wait(longest_pause)) break;
      stream.start(longest_request);
      bool closed = false;
      done = process_request(stream, left == 1, closed, nullptr);
      if (!done || closed) break;
    }
  }
  open_.fetch_sub(1);
  ::shutdown(socket, SHUT_RDWR);
  ::close(socket);
  return done;
}

}  // namespace budwood::page
