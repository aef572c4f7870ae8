#include "editor/books/anchor.hpp"

#include "editor/books/key_maps.hpp"
#include "editor/books/place.hpp"
#include "editor/family.hpp"
#include "manual/manual.hpp"

namespace budwood::editor {

namespace {

using language::NameKind;
using language::WrittenName;

bool is_letter(char c) {
  return c == '_' || (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
         static_cast<unsigned char>(c) >= 0x80;
}

/// The word at a place.
Range word_at(const Document& document, Position position) {
  const std::string_view text = document.text();
  std::size_t begin = document.offset(position);
  std::size_t end = begin;
  while (begin > 0 && is_letter(text[begin - 1])) --begin;
  while (end < text.size() && is_letter(text[end])) ++end;
  return document.lines().range(begin, end);
}

/// Of what kind a word is, by where it stands, and of which protocol: "" of any.
struct Meant {
  NameKind kind = NameKind::other;
  std::string protocol;
};

Meant meant_in_site(const BookPlace& place) {
  if (place.key == "rules" && place.path.empty()) return {NameKind::rules, ""};
  const bool stock = fits(place.path, {"lots", "*"}) || fits(place.path, {"mothers", "*"});
  if (stock && place.key == "of") return {NameKind::supply, ""};
  if (!place.key.empty()) return {};
  if (fits(place.path, {"rooms"})) return {NameKind::room, ""};
  if (fits(place.path, {"crews"})) return {NameKind::crew, ""};
  if (fits(place.path, {"supplies"})) return {NameKind::supply, ""};
  if (fits(place.path, {"inputs"})) return {NameKind::protocol, ""};
  if (fits(place.path, {"inputs", "*"})) return {NameKind::input, place.path.back()};
  return {};
}

Meant meant_in_batches(const Document& document, Position position, const BookPlace& place) {
  const bool arm = fits(place.path, {"batches", "trial", "arms", "*"});
  const bool batch = fits(place.path, {"batches"});
  if (batch && place.key == "protocol") return {NameKind::protocol, ""};
  const std::string method = beside(document, position, "protocol");
  if ((batch || arm) && place.key == "variant") return {NameKind::variant, method};
  if (!place.key.empty()) return {};
  if (fits(place.path, {"batches", "set"})) return {NameKind::input, method};
  if (fits(place.path, {"batches", "trial", "arms", "*", "set"})) return {NameKind::input, method};
  if (fits(place.path, {"batches", "pins"})) return {NameKind::stage, method};
  if (fits(place.path, {"batches", "lots"})) return {NameKind::supply, method};
  return {};
}

/// The protocol in which a name stands; of a variant the one around it.
std::string protocol_of(const Document& document, std::size_t owner) {
  const auto& owners = document.written().owners;
  while (owner < owners.size() && owners[owner].around != WrittenName::nobody) {
    owner = owners[owner].around;
  }
  return owner < owners.size() ? owners[owner].name : "";
}

}  // namespace

std::optional<Anchor> anchor_of(const Workspace& workspace, const Document& document,
                                Position position) {
  const Range word = word_at(document, position);
  const BookPlace place = book_place(document, word.end);
  const Meant meant = document.kind() == FileKind::site
                          ? meant_in_site(place)
                          : meant_in_batches(document, position, place);
  if (meant.kind == NameKind::other || place.word.begin != word.begin) return std::nullopt;
  const std::uint32_t begin = document.offset(word.begin);
  const std::string name(document.text().substr(begin, document.offset(word.end) - begin));
  std::optional<Anchor> used, elsewhere;
  for (const SharedDocument& one : workspace.files_around(document.path())) {
    for (const WrittenName& written : one->written().names) {
      if (written.text() != name || space_of(written.kind) != space_of(meant.kind)) continue;
      Anchor found{meant.kind, name, word, one, one->range(written.span).begin};
      const bool own = meant.protocol.empty() || protocol_of(*one, written.owner) == meant.protocol;
      if (written.declares && own) return found;
      // What its protocol rests on may declare it.
      if (written.declares && !elsewhere) elsewhere = found;
      if (own && !used) used = found;
    }
  }
  return used ? used : elsewhere;
}

std::string about_key_at(const Document& document, Position position, Range& word) {
  word = word_at(document, position);
  const BookPlace place = book_place(document, word.end);
  const auto map = key_map_at(document.kind(), place.path);
  if (!map || !place.key.empty()) return {};
  const std::uint32_t begin = document.offset(word.begin);
  const std::string key(document.text().substr(begin, document.offset(word.end) - begin));
  return manual::about_key(book::keys_of(*map).heading, key);
}

}  // namespace budwood::editor
