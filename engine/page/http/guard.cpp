#include "page/http/guard.hpp"

#include <arpa/inet.h>

#include <algorithm>
#include <array>

namespace budwood::page {

namespace {

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) {
    return static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
  });
  return text;
}

/// "[::1]:8040" without its port and brackets.
std::string without_port(const std::string& host) {
  if (host.starts_with('[')) {
    const std::size_t close = host.find(']');
    return close == std::string::npos ? host : host.substr(1, close - 1);
  }
  return host.substr(0, host.find(':'));
}

bool is_number(const std::string& host) {
  std::array<unsigned char, sizeof(in6_addr)> address{};
  return inet_pton(AF_INET, host.c_str(), address.data()) == 1 ||
         inet_pton(AF_INET6, host.c_str(), address.data()) == 1;
}

}  // namespace

bool is_own_host(const std::string& host, const std::vector<std::string>& names) {
  const std::string name = lower(without_port(host));
  if (is_number(name) || name == "localhost") return true;
  return std::any_of(names.begin(), names.end(),
                     [&](const std::string& one) { return lower(one) == name; });
}

std::string refusal_of(const httplib::Request& request, const std::vector<std::string>& names) {
  if (request.get_header_value_count("Host") != 1 ||
      !is_own_host(request.get_header_value("Host"), names)) {
    return "This name is not known here. Start the page with `--name` to have it answer to one.";
  }
  const std::string site = request.get_header_value("Sec-Fetch-Site");
  if (!site.empty() && site != "same-origin" && site != "none") {
    return "Requests from other sites are not answered: open the address by itself.";
  }
  if (request.has_header("Origin")) {
    const std::string origin = request.get_header_value("Origin");
    const std::size_t name = origin.find("://");
    if (name == std::string::npos ||
        lower(origin.substr(name + 3)) != lower(request.get_header_value("Host"))) {
      return "Requests from other sites are not answered.";
    }
  }
  return "";
}

std::string cookie_of(const httplib::Request& request, const std::string& name) {
  const std::string all = request.get_header_value("Cookie");
  std::size_t begin = 0;
  while (begin < all.size()) {
    while (begin < all.size() && all[begin] == ' ') ++begin;
    const std::size_t end = std::min(all.find(';', begin), all.size());
    if (all.compare(begin, name.size() + 1, name + "=") == 0) {
      return all.substr(begin + name.size() + 1, end - begin - name.size() - 1);
    }
    begin = end + 1;
  }
  return "";
}

bool is_behind_tls(const httplib::Request& request) {
  return request.get_header_value("X-Forwarded-Proto") == "https";
}

void add_safe_headers(const httplib::Request& request, httplib::Response& response) {
  // Of a plain address browsers would not heed it.
  if (is_behind_tls(request)) {
    response.set_header("Strict-Transport-Security", "max-age=31536000");
  }
  response.set_header("Content-Security-Policy",
                      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
                      "connect-src 'self'; manifest-src 'self'; form-action 'self'; "
                      "base-uri 'none'; frame-ancestors 'none'");
  response.set_header("X-Content-Type-Options", "nosniff");
  response.set_header("X-Frame-Options", "DENY");
  response.set_header("Referrer-Policy", "same-origin");
  response.set_header("Cross-Origin-Resource-Policy", "same-origin");
  response.set_header("Cross-Origin-Opener-Policy", "same-origin");
  response.set_header("Permissions-Policy", "geolocation=(), microphone=(), payment=()");
}

}  // namespace budwood::page
