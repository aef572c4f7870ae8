#pragma once

#include <httplib.h>

#include <atomic>

namespace budwood::page {

/// A server of which one visitor cannot take more than a share: connections are so many, requests
/// so large and so slow and no more.
class BoundedServer : public httplib::Server {
 public:
  BoundedServer();

  static constexpr std::size_t most_connections = 800;  ///< at once
  static constexpr std::size_t largest_body = 5U << 20U;

 private:
  bool process_and_close_socket(socket_t socket) override;

  std::atomic<std::size_t> open_ = 0;
};

}  // namespace budwood::page
