#include "editor/lsp/connection.hpp"

#include <unistd.h>

#include <array>
#include <cerrno>
#include <condition_variable>
#include <csignal>
#include <cstdlib>
#include <memory>
#include <mutex>
#include <thread>

#include "editor/lsp/server.hpp"

namespace budwood::editor::lsp {

namespace {

constexpr std::size_t largest_message = 64U << 20U;

/// The number behind `Content-Length:`, however it is written; nothing when there is none.
std::optional<std::size_t> length_in(std::string_view header) {
  constexpr std::string_view key = "content-length:";
  while (!header.empty()) {
    const std::size_t end = header.find("\r\n");
    std::string line(header.substr(0, end));
    header.remove_prefix(end == std::string_view::npos ? header.size() : end + 2);
    for (char& c : line) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    if (!line.starts_with(key)) continue;
    const std::size_t digits = line.find_first_of("0123456789", key.size());
    if (digits == std::string::npos) return std::nullopt;
    return std::strtoull(line.c_str() + digits, nullptr, 10);
  }
  return std::nullopt;
}

/// What has come from the client and was not looked at yet.
struct Inbox {
  std::mutex mutex;
  std::condition_variable news;
  std::deque<std::string> messages;
  bool closed = false;
};

/// Reads until the client is gone. Runs beside the server, so that what is typed meanwhile is known
/// when it looks up.
void read_all(int from, const std::shared_ptr<Inbox>& inbox) {
  MessageReader reader;
  std::array<char, 1U << 16U> bytes{};
  while (!reader.broken()) {
    const ssize_t got = ::read(from, bytes.data(), bytes.size());
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) break;
    reader.add({bytes.data(), static_cast<std::size_t>(got)});
    const std::lock_guard lock(inbox->mutex);
    while (auto message = reader.next()) inbox->messages.push_back(std::move(*message));
    inbox->news.notify_one();
  }
  const std::lock_guard lock(inbox->mutex);
  inbox->closed = true;
  inbox->news.notify_one();
}

/// False when the client takes nothing any more.
bool write_all(int to, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(to, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
  return true;
}

}  // namespace

std::optional<std::string> MessageReader::next() {
  while (true) {
    const std::size_t end = held_.find("\r\n\r\n");
    if (end == std::string::npos) {
      // No header is so long.
      broken_ = broken_ || held_.size() > 65536;
      return std::nullopt;
    }
    const auto length = length_in(std::string_view(held_).substr(0, end));
    if (!length) {
      held_.erase(0, end + 4);
      continue;
    }
    if (*length > largest_message) {
      broken_ = true;
      return std::nullopt;
    }
    if (held_.size() < end + 4 + *length) return std::nullopt;
    std::string body = held_.substr(end + 4, *length);
    held_.erase(0, end + 4 + *length);
    return body;
  }
}

std::string framed(const std::string& body) {
  return "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body;
}

int serve(int from_client, int to_client) {
  std::signal(SIGPIPE, SIG_IGN);
  const auto inbox = std::make_shared<Inbox>();
  // It waits for a client that may say nothing more, so nobody waits for it.
  std::thread(read_all, from_client, inbox).detach();
  bool gone = false;
  Server server(
      [&](const std::string& body) { gone = gone || !write_all(to_client, framed(body)); });
  while (!server.over() && !gone) {
    std::unique_lock lock(inbox->mutex);
    for (const std::string& message : inbox->messages) server.receive(message);
    inbox->messages.clear();
    const bool closed = inbox->closed;
    lock.unlock();
    if (server.work()) continue;
    if (closed) break;
    lock.lock();
    inbox->news.wait(lock, [&] { return !inbox->messages.empty() || inbox->closed; });
  }
  return server.over() ? server.status() : 1;
}

}  // namespace budwood::editor::lsp
