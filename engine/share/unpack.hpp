/// A pack is read as if written by an enemy: wholly in memory, within limits, names from a
/// short alphabet, nothing that the manifest does not name, every hash and fingerprint worked
/// out anew. Files come to be all or none. Pages for people stay in the pack: they can be
/// printed anew.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "book/book.hpp"
#include "files/place_all.hpp"
#include "share/archive.hpp"
#include "share/manifest.hpp"

namespace budwood::share {

/// Where a pack is unpacked to.
struct Target {
  std::filesystem::path folder;      ///< of protocols
  language::Document library;        ///< what is there already
  const book::Book* book = nullptr;  ///< whose folder it is; none outside a book
};

/// A pack that was read and found to be what it says.
struct OpenPack {
  Manifest manifest;
  std::vector<ArchivedFile> files;  ///< protocol text only, as in the manifest
  /// The shared tables in it, each with the path of its file.
  std::vector<std::pair<std::string, language::SharedTable>> tables;
  std::string signer;  ///< public key; "" when it is not signed
};

/// Reads a pack of which nothing is trusted: its archive, manifest, signature and the SHA-256 of
/// every file, then the protocols themselves, whose fingerprints have to be those of the manifest;
/// they may be based on others in the pack or in `beside`. Nothing when anything is wrong;
/// `problem` says what, mistakes in protocols are diagnostics. `name` is what the archive is called
/// in them.
std::optional<OpenPack> open_pack(std::string_view bytes, const std::string& name,
                                  const language::Document& beside, text::Sources& sources,
                                  text::Diagnostics& diagnostics, std::string& problem);

/// What a protocol or rule set of a pack is to a target.
struct Arrival {
  enum class Kind : std::uint8_t { fresh, edition, present };
  Kind kind = Kind::fresh;  ///< new, a new edition of one that is there, or there already
  PackedItem item;
  std::filesystem::path file;  ///< that it is written to; empty when it is not
};

/// What unpacking would do.
struct Unpacking {
  std::vector<Arrival> arrivals;              ///< as in the manifest
  std::vector<std::filesystem::path> tables;  ///< files of shared tables alone that are new
  std::vector<files::NewFile> files;          ///< in the order in which they are put in place
  std::vector<std::string> refusals;          ///< why it cannot be done, in words
};
/// Batches of a book stay on their editions: before a new edition of a protocol comes, it is kept
/// which one each batch is on.
Unpacking plan_unpacking(const OpenPack& pack, const Target& target);

}  // namespace budwood::share
