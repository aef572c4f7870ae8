#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace budwood::page {

/// What somebody may do on the page. Each may do what those before may.
enum class Role : std::uint8_t {
  look,
  record,  ///< note what happened
  plan,    ///< change batches and methods
};
std::string_view word(Role role);
std::optional<Role> find_role(std::string_view word);

struct Person {
  std::string name;
  Role role = Role::look;
  std::string password;  ///< hashed; see `hashed`
};

/// The file of a book that names who may see it beyond this machine. It is for its owner alone.
inline constexpr const char* people_file = "people.json";
inline constexpr std::size_t shortest_password = 10;  ///< letters
inline constexpr std::size_t longest_password = 200;

/// Who may see a book; nobody when there is no such file. `problem` tells when it cannot be read:
/// then nobody may.
std::vector<Person> read_people(const std::filesystem::path& folder, std::string& problem);
/// Writes the file whole, for its owner alone. Gives what went wrong; "" when all is well.
std::string write_people(const std::filesystem::path& folder, const std::vector<Person>& people);

/// Why nobody can be called so, or a password will not do; "" when they will.
std::string misuse_of_name(std::string_view name);
std::string misuse_of_password(std::string_view password);

/// Argon2id with its salt and costs, through libsodium (`crypto_pwhash_str`).
std::string hashed(std::string_view password);
/// Takes as long for a hash that is none.
bool is_password(std::string_view hash, std::string_view password);

/// 32 random bytes in hexadecimal digits: what nobody can guess.
std::string random_token();
/// Whether two texts are the same, in a time that does not tell where they differ.
bool same_token(std::string_view one, std::string_view other);

}  // namespace budwood::page
