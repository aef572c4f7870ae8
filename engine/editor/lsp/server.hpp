#pragma once

#include <functional>
#include <memory>
#include <string>

namespace budwood::editor::lsp {

/// A language server between messages: what comes in is received, work is done step by step, what
/// goes out is handed on. It knows neither files nor threads of the connection.
///
/// Findings are told when nothing else is to do, so that of many keystrokes only the last is looked
/// at; a request that was cancelled, or whose text has changed since, is not worked out.
class Server {
 public:
  using Send = std::function<void(const std::string& body)>;

  explicit Server(Send send);
  ~Server();
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;

  /// Takes a message as it came, be it what it may.
  void receive(const std::string& body);
  /// Does the next thing; false when there is nothing to do.
  bool work();

  /// The client has told it to leave.
  bool over() const;
  /// With which status: 0 when it was told before that this is the end.
  int status() const;

 private:
  class Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace budwood::editor::lsp
