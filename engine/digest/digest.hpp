/// Digests: one short number that stands for any amount of bytes.
///
/// A module below the language, because the language needs one function of it and must not know
/// of packs and keys.
#pragma once

#include <string>
#include <string_view>

namespace budwood::digest {

/// SHA-256 (FIPS 180-4) of the bytes, as 64 hexadecimal digits in lower case.
std::string sha256(std::string_view bytes);

}  // namespace budwood::digest
