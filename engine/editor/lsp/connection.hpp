/// Messages of the Language Server Protocol 3.17 over two files: each is JSON behind a header that
/// says how many bytes it has.
#pragma once

#include <deque>
#include <optional>
#include <string>
#include <string_view>

namespace budwood::editor::lsp {

/// Takes messages out of a stream of bytes that comes in pieces.
class MessageReader {
 public:
  void add(std::string_view bytes) { held_ += bytes; }
  /// The next whole message; nothing while it is not all there. What is no header is passed over.
  std::optional<std::string> next();
  /// The stream cannot be understood any more: a message is larger than any there is.
  bool broken() const { return broken_; }

 private:
  std::string held_;
  bool broken_ = false;
};

/// A message as it is sent.
std::string framed(const std::string& body);

/// Serves a client until it says that it is done, or is gone. Gives the exit status: 0 when it took
/// its leave as the protocol wants it.
int serve(int from_client, int to_client);

}  // namespace budwood::editor::lsp
