#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace budwood::share {

/// The files of a pack that are about the pack.
inline constexpr const char* manifest_path = "manifest.json";
inline constexpr const char* signature_path = "manifest.sig";

/// A protocol or rule set in a pack.
struct PackedItem {
  bool rule_set = false;
  std::string name;
  int edition = 1;
  std::string title;
  std::string fingerprint;
  std::vector<std::string> rests_on;  ///< "bench_graft edition 2"
};

/// A file in a pack.
struct PackedFile {
  std::string path;
  std::size_t size = 0;
  std::string sha256;
  std::vector<PackedItem> holds;  ///< of protocol text; a page holds none
};

/// No text of a manifest is longer.
inline constexpr std::size_t longest_manifest_text = 4000;

/// Who gives a pack away, and how others may use it; each may be empty.
struct PackNotes {
  std::string author, licence, note;
};

/// What a pack says of itself.
struct Manifest {
  static constexpr int format = 1;
  PackNotes notes;
  std::vector<PackedFile> files;  ///< by path; without the manifest itself and its signature
};

/// As JSON; the same manifest gives the same bytes.
std::string manifest_text(const Manifest& manifest);

/// Reads one of which nothing is trusted. `problem` says in words why it is refused, and is "" when
/// it is not.
Manifest read_manifest(std::string_view json, std::string& problem);

}  // namespace budwood::share
