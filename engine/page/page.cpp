#include "page/page.hpp"

#ifdef __GLIBC__
#include <malloc.h>
#endif

#include <charconv>

#include "page/http/bounded_server.hpp"
#include "page/http/routes.hpp"
#include "page/open/open_book.hpp"
#include "page/people/sessions.hpp"

namespace budwood::page {

namespace {

constexpr int last_port = 65535;

/// What many threads have used and given back is used again by others, and does not lie about in a
/// store of each.
void share_memory() {
#ifdef M_ARENA_MAX
  constexpr int stores = 2;
  mallopt(M_ARENA_MAX, stores);
#endif
}

/// Whether an address can be reached from this machine alone.
bool is_of_this_machine(const std::string& host) {
  return host == "localhost" || host == "::1" || host.starts_with("127.");
}

std::string address_text(const Serving& serving, int port) {
  const bool six = serving.host.find(':') != std::string::npos;
  const std::string host = six ? "[" + serving.host + "]" : serving.host;
  return "http://" + host + ":" + std::to_string(port) + "/";
}

}  // namespace

std::string read_address(const std::string& text, Serving& out) {
  const std::string advice = "An address is written such as 127.0.0.1:8040 or 0.0.0.0:8040.";
  const std::size_t colon = text.rfind(':');
  if (colon == std::string::npos || colon == 0) return advice;
  std::string host = text.substr(0, colon);
  if (host.starts_with('[') && host.ends_with(']')) {
    host = host.substr(1, host.size() - 2);
  } else if (host.find(':') != std::string::npos) {
    return advice;
  }
  int port = 0;
  const char* end = text.data() + text.size();
  const auto [stop, failure] = std::from_chars(text.data() + colon + 1, end, port);
  if (failure != std::errc() || stop != end || port < 0 || port > last_port || host.empty()) {
    return advice;
  }
  out.host = host;
  out.port = port;
  return "";
}

std::string serve(const Serving& serving, const std::function<void(const std::string&)>& ready) {
  share_memory();
  std::string problem;
  const bool local = is_of_this_machine(serving.host);
  const std::vector<Person> people = read_people(serving.folder, problem);
  if (!problem.empty()) return problem;
  if (!local && people.empty()) {
    return "Beyond this machine people sign in, and the book names nobody yet: `budwood people "
           "BOOK "
           "--add NAME --role plan` adds somebody.";
  }
  OpenBook book(serving.folder, serving.today);
  if (!book.now()->usable()) {
    return "There is no book to show in `" + serving.folder.generic_string() +
           "`: `budwood check` tells what is wrong.";
  }
  Sessions sessions(serving.folder,
                    local ? Sessions::Need::when_there_are_people : Sessions::Need::always);
  BoundedServer server;
  Routes routes(serving, book, sessions);
  routes.add_to(server);
  int port = serving.port;
  if (port == 0) {
    port = server.bind_to_any_port(serving.host);
  } else if (!server.bind_to_port(serving.host, port)) {
    port = -1;
  }
  if (port < 0) {
    return "Nothing can be shown at " + serving.host + ":" + std::to_string(serving.port) +
           ": it is in use, or not an address of this machine. Choose another with `--listen`.";
  }
  ready(address_text(serving, port));
  server.listen_after_bind();
  return "The page has ended.";
}

}  // namespace budwood::page
