#include "page/http/guard.hpp"

#include <doctest/doctest.h>

#include "page/page.hpp"

namespace budwood::page {

namespace {

std::string refused(std::multimap<std::string, std::string> headers) {
  httplib::Request request;
  for (const auto& [name, value] : headers) request.headers.emplace(name, value);
  return refusal_of(request, {"plants.example"});
}

}  // namespace

TEST_CASE("a name that was not told may be one that somebody has pointed here") {
  CHECK(is_own_host("127.0.0.1:8040", {}));
  CHECK(is_own_host("[::1]:8040", {}));
  CHECK(is_own_host("192.168.1.20", {}));
  CHECK(is_own_host("localhost:8040", {}));
  CHECK(is_own_host("Plants.Example:8040", {"plants.example"}));
  CHECK_FALSE(is_own_host("plants.example.evil.example", {"plants.example"}));
  CHECK_FALSE(is_own_host("evil.example:8040", {}));
  CHECK_FALSE(is_own_host("127.0.0.1.evil.example", {}));
  CHECK_FALSE(is_own_host("", {}));
}

TEST_CASE("requests of other sites are not answered") {
  CHECK(refused({{"Host", "127.0.0.1:8040"}}).empty());
  CHECK(refused({{"Host", "plants.example"}, {"Origin", "https://plants.example"}}).empty());
  CHECK(refused({{"Host", "127.0.0.1:8040"}, {"Sec-Fetch-Site", "same-origin"}}).empty());
  CHECK(refused({{"Host", "127.0.0.1:8040"}, {"Sec-Fetch-Site", "none"}}).empty());
  CHECK_FALSE(refused({}).empty());
  CHECK_FALSE(refused({{"Host", "127.0.0.1"}, {"Host", "evil.example"}}).empty());
  CHECK_FALSE(refused({{"Host", "evil.example"}}).empty());
  CHECK_FALSE(refused({{"Host", "127.0.0.1:8040"}, {"Sec-Fetch-Site", "cross-site"}}).empty());
  // Another port or a sister domain is another site as well.
  CHECK_FALSE(refused({{"Host", "127.0.0.1:8040"}, {"Sec-Fetch-Site", "same-site"}}).empty());
  CHECK_FALSE(refused({{"Host", "127.0.0.1:8040"}, {"Origin", "http://evil.example"}}).empty());
  CHECK_FALSE(refused({{"Host", "127.0.0.1:8040"}, {"Origin", "http://127.0.0.1:9000"}}).empty());
  CHECK_FALSE(refused({{"Host", "127.0.0.1:8040"}, {"Origin", "null"}}).empty());
}

TEST_CASE("a cookie is found among others, and only by its whole name") {
  httplib::Request request;
  request.headers.emplace("Cookie", "xbudwood=1; budwood=abc; budwoodx=2");
  CHECK(cookie_of(request, "budwood") == "abc");
  CHECK(cookie_of(request, "wood").empty());
}

TEST_CASE("addresses") {
  Serving serving;
  CHECK(read_address("0.0.0.0:80", serving).empty());
  CHECK(serving.host == "0.0.0.0");
  CHECK(serving.port == 80);
  CHECK(read_address("[::1]:8040", serving).empty());
  CHECK(serving.host == "::1");
  for (const char* wrong :
       {"", "8040", ":8040", "host:", "host:x", "host:70000", "::1:8040", "host:-1"}) {
    CHECK_FALSE(read_address(wrong, serving).empty());
  }
}

}  // namespace budwood::page
