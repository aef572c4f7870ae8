/// Private to this module.
///
/// A protocol based on another is put together as a syntax tree before the check, so nothing
/// behind it knows of bases. All files are read together, because a base may stand in any of
/// them. Shared tables come in here, too: what a protocol looks up is part of what it means, so
/// its fingerprint tells when such a table has changed.
#pragma once

#include <map>
#include <optional>

#include "language/model.hpp"
#include "language/tree/syntax.hpp"

namespace budwood::language {

/// Protocols that are read together, so that some can be based on others among them. Each is put
/// together and checked once, a base before what rests on it.
class Bases {
 public:
  /// `usable`: no mistake was found where it is written. What is found now is reported to
  /// `diagnostics`, which must live on.
  void add(syntax::Protocol protocol, bool usable, text::Diagnostics& diagnostics);

  /// A table that protocols share: those that look something up in it, and have no such name of
  /// their own, get it among their declarations. One that stands twice with the same words is one.
  void add(const syntax::Table& table, text::Diagnostics& diagnostics);

  /// There is a file, too, of which nothing could be read for its mistakes.
  void add_hidden() { hidden_ = true; }

  /// The model of the protocol that was added at this place; nullptr when there is a mistake in it
  /// or in what it is based on, which is reported.
  const Protocol* checked(std::size_t place);
  /// Its variants; none when there is a mistake in it. Mistakes in them are reported, and the whole
  /// protocol is then not to be used.
  const std::vector<Protocol>& variants(std::size_t place) const {
    return entries_[place].variants;
  }

 private:
  struct Entry {
    syntax::Protocol written;
    bool usable = true;
    text::Diagnostics* diagnostics = nullptr;
    enum class State { fresh, open, done } state = State::fresh;
    std::optional<Protocol> model;
    std::vector<Protocol> variants;
  };

  void resolve(Entry& entry, std::size_t depth);
  void resolve_variants(Entry& entry);
  void take_tables(syntax::Protocol& protocol) const;
  /// Nothing when there is no base that can be used; that is reported.
  const syntax::Protocol* base_of(Entry& entry, std::size_t depth);
  void report_missing(const syntax::Base& base, text::Diagnostics& diagnostics);

  bool hidden_ = false;
  std::vector<Entry> entries_;
  std::map<std::string, syntax::Table> tables_;
  std::map<std::pair<std::string, int>, std::size_t> places_;  ///< the first of a name and edition
};

}  // namespace budwood::language
