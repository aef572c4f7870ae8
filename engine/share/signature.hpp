#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace budwood::share {

/// A pair of keys for signatures (Ed25519, RFC 8032), as hexadecimal digits.
struct KeyPair {
  std::string public_key;  ///< 64 digits, for others to know
  std::string secret_key;  ///< 64 digits, for nobody to know
};
KeyPair make_keys();

/// The text of the two files that hold a pair of keys.
std::string public_key_text(const KeyPair& keys);
std::string secret_key_text(const KeyPair& keys);
/// The secret key in such a file; nothing when it holds none.
std::optional<std::string> read_secret_key(std::string_view text);

/// Whether it can be a public key: 64 digits, 0 to 9 and a to f.
bool is_public_key(std::string_view text);

/// The text of `manifest.sig`: who signed the manifest, and the signature.
std::string sign(std::string_view manifest, const std::string& secret_key);

/// Whose signature it is: the public key. Nothing when it is not a signature of this manifest.
std::optional<std::string> signer_of(std::string_view manifest, std::string_view signature);

}  // namespace budwood::share
