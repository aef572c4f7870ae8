#include "page/people/people.hpp"

#include <sodium.h>
#include <sys/stat.h>

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>
#include <ostream>

#include "files/read.hpp"
#include "files/write.hpp"
#include "text/text.hpp"

namespace budwood::page {

namespace {

namespace fs = std::filesystem;
using nlohmann::ordered_json;

constexpr std::array<std::string_view, 3> role_words = {"look", "record", "plan"};
constexpr std::size_t longest_name = 60;
constexpr std::size_t largest_file = 1U << 20U;

bool ready() {
  static const bool done = sodium_init() >= 0;
  return done;
}

std::optional<Person> person_of(const ordered_json& json) {
  if (!json.is_object()) return std::nullopt;
  const auto text = [&](const char* key) {
    const auto found = json.find(key);
    return found != json.end() && found->is_string() ? found->get<std::string>() : "";
  };
  const auto role = find_role(text("role"));
  if (!role || text("name").empty() || text("password").empty()) return std::nullopt;
  return Person{text("name"), *role, text("password")};
}

}  // namespace

std::string_view word(Role role) {
  return role_words[static_cast<std::size_t>(role)];
}

std::optional<Role> find_role(std::string_view word) {
  const auto found = std::find(role_words.begin(), role_words.end(), word);
  if (found == role_words.end()) return std::nullopt;
  return static_cast<Role>(found - role_words.begin());
}

std::vector<Person> read_people(const fs::path& folder, std::string& problem) {
  problem.clear();
  const fs::path path = folder / people_file;
  const files::Bytes read = files::read_bytes(path, largest_file);
  if (read.failure == files::Bytes::Failure::missing) return {};
  const std::string unreadable =
      "`" + path.generic_string() + "` cannot be read, so nobody can sign in.";
  if (!read.ok()) {
    problem = unreadable;
    return {};
  }
  const ordered_json json = ordered_json::parse(read.bytes, nullptr, false);
  std::vector<Person> out;
  const bool listed = json.is_object() && json.contains("people") && json["people"].is_array();
  if (!listed) problem = unreadable;
  for (const ordered_json& one : listed ? json["people"] : ordered_json::array()) {
    if (auto person = person_of(one)) {
      out.push_back(std::move(*person));
    } else {
      problem = unreadable;
    }
  }
  return problem.empty() ? out : std::vector<Person>();
}

std::string write_people(const fs::path& folder, const std::vector<Person>& people) {
  ordered_json list = ordered_json::array();
  for (const Person& one : people) {
    list.push_back({{"name", one.name}, {"role", word(one.role)}, {"password", one.password}});
  }
  const ordered_json json = {{"people", std::move(list)}};
  const fs::path path = folder / people_file;
  const mode_t before = ::umask(S_IRWXG | S_IRWXO);
  std::string problem = files::write_whole(path, [&](std::ostream& out) {
    out << json.dump(2, ' ', false, ordered_json::error_handler_t::replace) << '\n';
  });
  ::umask(before);
  if (problem.empty() && ::chmod(path.c_str(), S_IRUSR | S_IWUSR) != 0) {
    problem = "`" + path.generic_string() + "` cannot be kept from other users of this machine.";
  }
  return problem;
}

std::string misuse_of_name(std::string_view name) {
  const bool odd = std::any_of(name.begin(), name.end(), [](char c) {
    return static_cast<unsigned char>(c) < 0x20 || c == '"' || c == 0x7F;
  });
  if (name.empty() || name.size() > longest_name || odd || name.front() == ' ' ||
      name.back() == ' ' || text::find_invalid_utf8(name) != std::string_view::npos) {
    return "A name has 1 to 60 letters, without quotes.";
  }
  return "";
}

std::string misuse_of_password(std::string_view password) {
  if (password.size() > longest_password) return "A password has at most 200 letters.";
  if (text::find_invalid_utf8(password) == std::string_view::npos &&
      text::count_characters(password) >= shortest_password) {
    return "";
  }
  return "A password has at least " + std::to_string(shortest_password) +
         " letters: three words that do not belong together are easy to keep in mind.";
}

std::string hashed(std::string_view password) {
  std::array<char, crypto_pwhash_STRBYTES> out{};
  const bool done = ready() && crypto_pwhash_str(out.data(), password.data(), password.size(),
                                                 crypto_pwhash_OPSLIMIT_INTERACTIVE,
                                                 crypto_pwhash_MEMLIMIT_INTERACTIVE) == 0;
  return done ? std::string(out.data()) : "";
}

bool is_password(std::string_view hash, std::string_view password) {
  static const std::string nobody = hashed("nobody has this password");
  const bool known = !hash.empty() && hash.size() < crypto_pwhash_STRBYTES;
  const std::string held(known ? hash : std::string_view(nobody));
  return ready() && crypto_pwhash_str_verify(held.c_str(), password.data(), password.size()) == 0 &&
         known;
}

std::string random_token() {
  constexpr std::size_t length = 32;
  std::array<unsigned char, length> bytes{};
  if (!ready()) return "";
  randombytes_buf(bytes.data(), bytes.size());
  std::array<char, 2 * length + 1> text{};
  sodium_bin2hex(text.data(), text.size(), bytes.data(), bytes.size());
  return text.data();
}

bool same_token(std::string_view one, std::string_view other) {
  return one.size() == other.size() && sodium_memcmp(one.data(), other.data(), one.size()) == 0;
}

}  // namespace budwood::page
