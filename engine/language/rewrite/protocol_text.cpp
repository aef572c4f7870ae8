#include "language/rewrite/protocol_text.hpp"

#include <algorithm>
#include <memory>

#include "language/parse/parse.hpp"
#include "language/rewrite/block_text.hpp"

namespace budwood::language {

struct ProtocolText::Tree {
  syntax::Protocol protocol;
  bool alone = false;  ///< nothing else stands in the source

  const syntax::Stage* find_stage(const std::string& name) const {
    for (const syntax::ProtocolItem& item : protocol.items) {
      const auto* stage = std::get_if<syntax::Stage>(&item);
      if (stage != nullptr && stage->name.text == name) return stage;
    }
    return nullptr;
  }
  const syntax::Protocol* find_variant(const std::string& name) const {
    for (const syntax::Protocol& variant : protocol.variants) {
      if (variant.name.text == name) return &variant;
    }
    return nullptr;
  }
  const syntax::Protocol* layer(const std::string& variant) const {
    return variant.empty() ? &protocol : find_variant(variant);
  }
};

namespace {

const syntax::Input* find_input(const syntax::Protocol& written, const std::string& name) {
  for (const syntax::ProtocolItem& item : written.items) {
    const auto* input = std::get_if<syntax::Input>(&item);
    if (input != nullptr && input->name.text == name) return input;
  }
  for (const syntax::Change& change : written.changes) {
    const auto* set = std::get_if<syntax::SetInput>(&change);
    if (set != nullptr && set->input.name.text == name) return &set->input;
  }
  return nullptr;
}

/// Behind the value of an input, the count and the spread behind it.
std::uint32_t end_of_value(const syntax::Input& input) {
  std::uint32_t end = input.usual.span.end;
  if (input.seen) end = std::max(end, input.evidence.end);
  if (input.between && input.between->spread) {
    end = std::max(end, input.between->spread->span.end);
  }
  return end;
}

const syntax::Lasts* find_lasts(const syntax::Stage& stage) {
  for (const syntax::StageItem& item : stage.items) {
    if (const auto* lasts = std::get_if<syntax::Lasts>(&item)) return lasts;
  }
  return nullptr;
}

const syntax::Edition* find_edition(const syntax::Protocol& written) {
  for (const syntax::ProtocolItem& item : written.items) {
    if (const auto* edition = std::get_if<syntax::Edition>(&item)) return edition;
  }
  return nullptr;
}

/// Whether a statement of a variant takes the place of one of the method.
template <typename Item>
bool takes_place(const Item& fresh, const Item& old) {
  return fresh.index() == old.index() && !adds(fresh) && subject_of(fresh) == subject_of(old);
}

const syntax::Work* find_work(const syntax::Stage& stage, const std::string& title) {
  for (const syntax::StageItem& item : stage.items) {
    const auto* work = std::get_if<syntax::Work>(&item);
    if (work != nullptr && work->title.value == title) return work;
  }
  return nullptr;
}

}  // namespace

std::optional<ProtocolText> ProtocolText::find(const text::Source& source,
                                               const std::string& name) {
  text::Diagnostics diagnostics;
  syntax::File file = parse(source, diagnostics);
  if (diagnostics.count(text::Severity::error) > 0) return std::nullopt;
  for (syntax::Protocol& one : file.protocols) {
    if (one.name.text != name) continue;
    auto tree = std::make_shared<Tree>();
    tree->alone = file.protocols.size() == 1 && file.rule_sets.empty();
    tree->protocol = std::move(one);
    ProtocolText out;
    out.source_ = &source;
    if (const syntax::Edition* edition = find_edition(tree->protocol)) {
      out.edition_ = edition->number;
    }
    out.tree_ = std::move(tree);
    return out;
  }
  return std::nullopt;
}

void ProtocolText::replace(std::uint32_t begin, std::uint32_t end, std::string text) {
  edits_.push_back({begin, end, std::move(text)});
}

void ProtocolText::append(std::uint32_t brace, const std::string& line) {
  const std::string_view text = source_->text();
  // Two more than the brace, when it begins its line; else the block stands on one line.
  std::uint32_t begin = brace;
  while (begin > 0 && (text[begin - 1] == ' ' || text[begin - 1] == '\t')) --begin;
  const bool own_line = begin == 0 || text[begin - 1] == '\n';
  if (!own_line) {
    replace(brace, brace, (begin == brace ? " " : "") + line + " ");
    return;
  }
  const std::string indent(text.substr(begin, brace - begin));
  replace(begin, begin, indent + "  " + line + "\n");
}

void ProtocolText::set_edition(int edition) {
  const std::string number = std::to_string(edition);
  const std::string_view text = source_->text();
  if (const syntax::Edition* written = find_edition(tree_->protocol)) {
    const std::uint32_t begin = start_of_statement(text, "edition", written->span.begin);
    // Behind the word stands the number.
    const auto digits = static_cast<std::uint32_t>(text.find_first_of("0123456789", begin));
    const std::size_t end = text.find_first_not_of("0123456789", digits);
    replace(digits, static_cast<std::uint32_t>(std::min(end, text.size())), number);
    return;
  }
  const auto open = static_cast<std::uint32_t>(text.find('{', tree_->protocol.name.span.end));
  replace(open + 1, open + 1, "\n  edition " + number);
}

std::string ProtocolText::written_input(const std::string& input,
                                        const std::string& variant) const {
  const syntax::Protocol* layer = tree_->layer(variant);
  const syntax::Input* found = layer == nullptr ? nullptr : find_input(*layer, input);
  return found == nullptr ? "" : std::string(source_->text_of(found->usual.span));
}

bool ProtocolText::set_input(const std::string& input, const std::string& value,
                             const std::string& variant) {
  const syntax::Protocol* layer = tree_->layer(variant);
  if (layer == nullptr) return false;
  if (const syntax::Input* found = find_input(*layer, input)) {
    replace(found->usual.span.begin, end_of_value(*found), value);
    return true;
  }
  append(closing_brace(source_->text(), layer->name.span.end), "set " + input + " = " + value);
  return true;
}

std::optional<ProtocolText::Length> ProtocolText::written_length(const std::string& stage) const {
  const syntax::Stage* found = tree_->find_stage(stage);
  const syntax::Lasts* lasts = found == nullptr ? nullptr : find_lasts(*found);
  if (lasts == nullptr || lasts->heat) return std::nullopt;
  const auto text = [&](const syntax::Formula& one) {
    return std::string(source_->text_of(one.span));
  };
  Length out;
  out.shortest = text(lasts->range.low);
  if (lasts->range.high) out.longest = text(*lasts->range.high);
  if (lasts->usually) out.usual = text(*lasts->usually);
  return out;
}

bool ProtocolText::set_length(const std::string& stage, const Length& length) {
  const syntax::Stage* found = tree_->find_stage(stage);
  const syntax::Lasts* lasts = found == nullptr ? nullptr : find_lasts(*found);
  if (lasts == nullptr || lasts->heat) return false;
  const auto write = [&](const syntax::Formula& old, const std::string& fresh) {
    if (!fresh.empty()) replace(old.span.begin, old.span.end, fresh);
  };
  write(lasts->range.low, length.shortest);
  if (lasts->range.high) write(*lasts->range.high, length.longest);
  if (lasts->usually) {
    write(*lasts->usually, length.usual);
  } else if (!length.usual.empty()) {
    const auto& last = lasts->range.high ? *lasts->range.high : lasts->range.low;
    const std::uint32_t end = last.span.end;
    replace(end, end, " usually " + length.usual);
  }
  return true;
}

bool ProtocolText::add_note(const std::string& stage, const std::string& words) {
  const syntax::Stage* found = stage.empty() ? nullptr : tree_->find_stage(stage);
  if (!stage.empty() && found == nullptr) return false;
  const text::Span& head = found == nullptr ? tree_->protocol.name.span : found->name.span;
  append(closing_brace(source_->text(), head.end), "note " + quoted_text(words));
  return true;
}

/// Puts what a variant says into the text of its method.
class ProtocolText::Taking {
 public:
  explicit Taking(ProtocolText& out) : out_(out), text_(out.source_->text()) {}

  /// What cannot be done, in words; "" when all was.
  std::string take(const syntax::Protocol& variant) {
    if (!variant.items.empty()) return "it declares something of its own";
    for (const syntax::Change& change : variant.changes) {
      std::string problem =
          "it does more than set inputs and change stages that stand in this text";
      if (const auto* set = std::get_if<syntax::SetInput>(&change)) {
        problem = take(set->input);
      } else if (const auto* stage = std::get_if<syntax::StageChange>(&change)) {
        problem = take(*stage);
      }
      if (!problem.empty()) return problem;
    }
    cut(variant);
    return "";
  }

 private:
  std::string take(const syntax::Input& fresh) {
    if (fresh.lowest || fresh.title) {
      return "`set " + fresh.name.text + "` gives another range or title";
    }
    const Stretch value{fresh.usual.span.begin, end_of_value(fresh)};
    out_.set_input(fresh.name.text, value.in(text_));
    return "";
  }

  std::string take(const syntax::StageChange& change) {
    const syntax::Stage* old = out_.tree_->find_stage(change.name.text);
    if (old == nullptr && out_.tree_->protocol.base) {
      move(change);
      return "";
    }
    if (old == nullptr || change.title) {
      return "it changes the stage `" + change.name.text + "` in a way that the text does not show";
    }
    const auto places = stretches(text_, change.items, closing_brace(text_, change.name.span.end));
    for (std::size_t i = 0; i < change.items.size(); ++i) {
      if (const auto* statement = std::get_if<syntax::StageItem>(&change.items[i])) {
        put(*statement, places[i], old->items, closing_brace(text_, old->name.span.end));
        continue;
      }
      const auto* work = std::get_if<syntax::WorkChange>(&change.items[i]);
      if (work == nullptr) return "it drops something in `" + change.name.text + "`";
      if (std::string problem = take(*work, *old); !problem.empty()) return problem;
    }
    return "";
  }

  std::string take(const syntax::WorkChange& change, const syntax::Stage& stage) {
    const std::string& title = change.work.title.value;
    const syntax::Work* old = find_work(stage, title);
    if (old == nullptr) return "it changes \"" + title + "\", which is not in this text";
    if (change.retimes || change.work.timing.within)
      return "it changes the days of \"" + title + "\"";
    const auto& items = change.work.items;
    const auto places = stretches(text_, items, closing_brace(text_, change.work.title.span.end));
    const std::uint32_t brace = closing_brace(text_, old->title.span.end);
    for (std::size_t i = 0; i < items.size(); ++i) put(items[i], places[i], old->items, brace);
    return "";
  }

  /// Of a stage that the base brings: the protocol changes it as the variant did, after all that it
  /// changes itself.
  void move(const syntax::StageChange& change) {
    const std::uint32_t begin = start_of_statement(text_, "change", change.name.span.begin);
    const std::uint32_t end = closing_brace(text_, change.name.span.end) + 1;
    std::string lines(text_.substr(begin, end - begin));
    // In the variant it stood two further in.
    for (std::size_t at = lines.find("\n  "); at != std::string::npos;
         at = lines.find("\n  ", at + 1)) {
      lines.erase(at + 1, 2);
    }
    out_.append(closing_brace(text_, out_.tree_->protocol.name.span.end), lines);
  }

  /// A statement in the place of the one that it replaces, else at the end of the block.
  template <typename Item>
  void put(const Item& fresh, const Stretch& place, const std::vector<Item>& old,
           std::uint32_t brace) {
    const auto found = std::find_if(old.begin(), old.end(),
                                    [&](const Item& one) { return takes_place(fresh, one); });
    if (found == old.end()) return out_.append(brace, place.in(text_));
    const Stretch there =
        stretches(text_, old, brace)[static_cast<std::size_t>(found - old.begin())];
    out_.replace(there.begin, there.end, place.in(text_));
  }

  /// The block of the variant goes, with its lines.
  void cut(const syntax::Protocol& variant) {
    std::uint32_t begin = start_of_statement(text_, "variant", variant.name.span.begin);
    std::uint32_t end = closing_brace(text_, variant.name.span.end) + 1;
    std::uint32_t line = begin;
    while (line > 0 && (text_[line - 1] == ' ' || text_[line - 1] == '\t')) --line;
    if ((line == 0 || text_[line - 1] == '\n') && end < text_.size() && text_[end] == '\n') {
      begin = line;
      ++end;
    }
    out_.replace(begin, end, "");
  }

  ProtocolText& out_;
  std::string_view text_;
};

std::string ProtocolText::make_method(const std::string& variant) {
  const syntax::Protocol* chosen = tree_->find_variant(variant);
  if (chosen == nullptr) return "there is no such variant in this text";
  return Taking(*this).take(*chosen);
}

std::string ProtocolText::result() const {
  const std::string_view all = source_->text();
  std::vector<Edit> edits = edits_;
  std::stable_sort(edits.begin(), edits.end(),
                   [](const Edit& a, const Edit& b) { return a.begin < b.begin; });
  std::uint32_t begin = 0;
  auto end = static_cast<std::uint32_t>(all.size());
  if (!tree_->alone) {
    begin = start_of_statement(all, "protocol", tree_->protocol.name.span.begin);
    end = closing_brace(all, tree_->protocol.name.span.end) + 1;
    // Comment lines straight above belong to it.
    while (begin > 1) {
      const std::size_t line = all.rfind('\n', begin - 2);
      const std::size_t first = line == std::string_view::npos ? 0 : line + 1;
      if (all[first] != '#') break;
      begin = static_cast<std::uint32_t>(first);
    }
  }
  std::string out;
  std::uint32_t at = begin;
  for (const Edit& edit : edits) {
    out += all.substr(at, edit.begin - at);
    out += edit.text;
    at = edit.end;
  }
  out += all.substr(at, end - at);
  if (out.empty() || out.back() != '\n') out += '\n';
  return out;
}

std::string quoted_text(const std::string& words) {
  std::string out = "\"";
  for (const char c : words) {
    if (c == '"' || c == '\\') out += '\\';
    out += c == '\n' || c == '\r' ? ' ' : c;
  }
  return out + "\"";
}

}  // namespace budwood::language
