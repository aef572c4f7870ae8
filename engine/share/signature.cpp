#include "share/signature.hpp"

#include <sodium.h>

#include <array>
#include <stdexcept>
#include <vector>

namespace budwood::share {

namespace {

constexpr std::string_view secret_head = "budwood secret key 1\n";
constexpr std::string_view public_head = "budwood public key 1\n";
constexpr std::string_view signature_head = "budwood signature 1\n";
constexpr std::size_t key_digits = 2 * crypto_sign_PUBLICKEYBYTES;
constexpr std::size_t signature_digits = 2 * crypto_sign_BYTES;

using Bytes = std::vector<unsigned char>;

void start() {
  if (sodium_init() < 0) throw std::runtime_error("The system gives no random numbers for keys.");
}

std::string hex(const unsigned char* bytes, std::size_t size) {
  std::string out(2 * size + 1, '\0');
  sodium_bin2hex(out.data(), out.size(), bytes, size);
  out.pop_back();
  return out;
}

bool are_digits(std::string_view text, std::size_t count) {
  return text.size() == count &&
         text.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

/// Of digits only.
Bytes bytes_of(std::string_view digits) {
  Bytes out(digits.size() / 2);
  sodium_hex2bin(out.data(), out.size(), digits.data(), digits.size(), nullptr, nullptr, nullptr);
  return out;
}

/// "HEAD\n", then lines of digits.
std::optional<std::string_view> below(std::string_view text, std::string_view head) {
  if (!text.starts_with(head)) return std::nullopt;
  text.remove_prefix(head.size());
  if (text.ends_with('\n')) text.remove_suffix(1);
  return text;
}

const unsigned char* raw(std::string_view text) {
  return reinterpret_cast<const unsigned char*>(text.data());
}

}  // namespace

KeyPair make_keys() {
  start();
  std::array<unsigned char, crypto_sign_SEEDBYTES> seed{};
  randombytes_buf(seed.data(), seed.size());
  std::array<unsigned char, crypto_sign_PUBLICKEYBYTES> open{};
  std::array<unsigned char, crypto_sign_SECRETKEYBYTES> secret{};
  crypto_sign_seed_keypair(open.data(), secret.data(), seed.data());
  KeyPair out{hex(open.data(), open.size()), hex(seed.data(), seed.size())};
  sodium_memzero(secret.data(), secret.size());
  sodium_memzero(seed.data(), seed.size());
  return out;
}

std::string public_key_text(const KeyPair& keys) {
  return std::string(public_head) + keys.public_key + "\n";
}

std::string secret_key_text(const KeyPair& keys) {
  return std::string(secret_head) + keys.secret_key + "\n";
}

std::optional<std::string> read_secret_key(std::string_view text) {
  const auto digits = below(text, secret_head);
  if (!digits || !are_digits(*digits, 2 * crypto_sign_SEEDBYTES)) return std::nullopt;
  return std::string(*digits);
}

bool is_public_key(std::string_view text) {
  return are_digits(text, key_digits);
}

std::string sign(std::string_view manifest, const std::string& secret_key) {
  start();
  Bytes seed = bytes_of(secret_key);
  std::array<unsigned char, crypto_sign_PUBLICKEYBYTES> open{};
  std::array<unsigned char, crypto_sign_SECRETKEYBYTES> secret{};
  crypto_sign_seed_keypair(open.data(), secret.data(), seed.data());
  std::array<unsigned char, crypto_sign_BYTES> signature{};
  crypto_sign_detached(signature.data(), nullptr, raw(manifest), manifest.size(), secret.data());
  sodium_memzero(secret.data(), secret.size());
  sodium_memzero(seed.data(), seed.size());
  return std::string(signature_head) + hex(open.data(), open.size()) + "\n" +
         hex(signature.data(), signature.size()) + "\n";
}

std::optional<std::string> signer_of(std::string_view manifest, std::string_view signature) {
  const auto lines = below(signature, signature_head);
  if (!lines || lines->size() != key_digits + 1 + signature_digits) return std::nullopt;
  const std::string_view key = lines->substr(0, key_digits);
  const std::string_view signed_with = lines->substr(key_digits + 1);
  if ((*lines)[key_digits] != '\n' || !are_digits(key, key_digits) ||
      !are_digits(signed_with, signature_digits)) {
    return std::nullopt;
  }
  start();
  const bool good = crypto_sign_verify_detached(bytes_of(signed_with).data(), raw(manifest),
                                                manifest.size(), bytes_of(key).data()) == 0;
  return good ? std::optional(std::string(key)) : std::nullopt;
}

}  // namespace budwood::share
