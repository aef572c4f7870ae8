#include "fuzzing.hpp"
#include "share/signature.hpp"

/// Any bytes as a secret key, a public key, a signature, and as what is signed. Only what was
/// signed is found to be so, and it always is.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  const std::string input = fuzz::bytes_of(data, size);
  const std::string_view text = fuzz::part_of(input, 0);
  const std::string_view signature = fuzz::part_of(input, 1);
  const auto secret = share::read_secret_key(text);
  if (secret) {
    const auto again = share::read_secret_key(share::secret_key_text({"", *secret}));
    fuzz::must(again == secret, "a key that is another when written");
  }
  const auto signer = share::signer_of(text, signature);
  fuzz::must(!signer || share::is_public_key(*signer), "signed with what is no key");
  fuzz::accepted = secret || signer;
  const std::string key = secret ? *secret : std::string(64, '7');
  const std::string signed_by_us = share::sign(text, key);
  const auto us = share::signer_of(text, signed_by_us);
  fuzz::must(us && share::is_public_key(*us), "what was signed is not found to be so");
  fuzz::must(!share::signer_of(std::string(text) + " ", signed_by_us),
             "what was changed is found to be signed");
  return 0;
}
