#include "plan/trials/what_if.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "plan/trials/what_if_batch.hpp"
#include "plan/trials/what_if_site.hpp"

namespace budwood::plan {

namespace {

constexpr std::size_t longest = 200;
constexpr std::size_t most_named = 8;
constexpr const char* site_word = "site";
constexpr const char* every_batch = "*";

std::string ticked(const std::string& text) {
  return "`" + text::shortened(text) + "`";
}

/// A span of a source without the spaces around it.
text::Span trimmed(const text::Source& source, std::size_t begin, std::size_t end) {
  const std::string_view all = source.text();
  while (begin < end && all[begin] == ' ') ++begin;
  while (end > begin && all[end - 1] == ' ') --end;
  return {&source, static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)};
}

/// The name of a batch as it stands in the file: that of its whole series, of all its cultivars.
std::string_view written_name(const book::Batch& batch) {
  std::string_view text = text::text_of(batch.id.span);
  if (text.size() > 2 && (text.front() == '"' || text.front() == '\'')) {
    text = text.substr(1, text.size() - 2);
  }
  return text;
}

class Editor {
 public:
  Editor(const Plan& plan, text::Sources& sources, text::Diagnostics& diagnostics)
      : plan_(plan), sources_(sources), diagnostics_(diagnostics) {
    out_.book = *plan.book;
  }

  std::optional<WhatIf> run(const std::vector<std::string>& changes) {
    const std::size_t before = diagnostics_.count(text::Severity::error);
    for (const std::string& change : changes) apply(sources_.add("--set", change));
    if (diagnostics_.count(text::Severity::error) > before) return std::nullopt;
    drop_replaced();
    return std::move(out_);
  }

 private:
  void apply(const text::Source& source) {
    const auto wish = read_wish(source);
    if (!wish) return;
    // `take` and `batch.take` of one batch are told apart, `ready` and `batch.ready` are not.
    const std::string cell = wish->cell.starts_with("batch.") ? wish->cell.substr(6) : wish->cell;
    if (cell != "closed" && !done_.insert(wish->owner + "." + cell).second) {
      diagnostics_.warning("repeated-value", wish->cell_span,
                           ticked(wish->left) + " is set twice; this one counts.",
                           "Take one of them out.");
    }
    if (wish->owner == site_word) {
      change_site(plan_, *wish, out_, diagnostics_);
    } else {
      change_batches(*wish);
    }
  }

  /// Of changes of one value, `*` and the batch by name, the last one counts. More closed days add
  /// up.
  void drop_replaced() {
    std::set<std::pair<std::string, std::string>> seen;
    std::vector<Change> kept;
    for (auto one = out_.changes.rbegin(); one != out_.changes.rend(); ++one) {
      const bool adds_up = one->batch.empty() && one->name == "closed";
      if (adds_up || seen.emplace(one->batch, one->name).second) kept.push_back(std::move(*one));
    }
    out_.changes.assign(std::make_move_iterator(kept.rbegin()),
                        std::make_move_iterator(kept.rend()));
  }

  bool is_readable(const text::Source& source, const text::Span& whole) {
    if (!text::is_text(source, diagnostics_)) return false;
    const std::string_view all = source.text();
    if (all.size() > longest) {
      diagnostics_.error("long-text", whole,
                         "A change is no longer than " + std::to_string(longest) + " letters.",
                         example());
      return false;
    }
    const bool control = std::any_of(all.begin(), all.end(), [](char c) {
      return static_cast<unsigned char>(c) < 0x20 || c == 0x7F;
    });
    if (control) {
      diagnostics_.error("odd-character", whole,
                         "A change stands on one line, without control characters.", example());
    }
    return !control;
  }

  std::optional<Wish> read_wish(const text::Source& source) {
    const std::string_view all = source.text();
    const text::Span whole = trimmed(source, 0, all.size());
    if (!is_readable(source, whole)) return std::nullopt;
    const std::size_t equal = all.find('=');
    const std::size_t left = std::min(equal, all.size());
    const std::size_t dot = std::min(all.find('.'), left);
    if (equal == std::string_view::npos || dot == left) {
      diagnostics_.error("bad-change", whole, "A change is written `BATCH.CELL=VALUE`.", example());
      return std::nullopt;
    }
    Wish wish;
    wish.owner_span = trimmed(source, 0, dot);
    wish.cell_span = trimmed(source, dot + 1, left);
    wish.value.span = trimmed(source, left + 1, all.size());
    wish.owner = text::text_of(wish.owner_span);
    wish.cell = text::text_of(wish.cell_span);
    wish.left = text::text_of(trimmed(source, 0, left));
    wish.value.text = text::text_of(wish.value.span);
    if (wish.owner.empty() || wish.cell.empty() || wish.value.text.empty()) {
      const char* missing = wish.owner.empty()  ? "It is not said which batch this is for."
                            : wish.cell.empty() ? "It is not said what is to be set."
                                                : "There is no value after the `=`.";
      diagnostics_.error("bad-change", whole, missing, example());
      return std::nullopt;
    }
    const auto move = read_move(wish.value, diagnostics_);
    if (!move) return std::nullopt;
    wish.move = *move;
    return wish;
  }

  /// One that fits this book.
  std::string example() const {
    if (plan_.batches.empty()) return "Such as `A27-003.ready=1 week earlier`.";
    const std::string& id = plan_.facts_of(plan_.batches.front()).id.value;
    return "Such as `" + id + ".ready=1 week earlier` or `*.plants=10 % more`.";
  }

  std::vector<const BatchPlan*> batches_of(const Wish& wish) {
    std::vector<const BatchPlan*> found;
    for (const BatchPlan& one : plan_.batches) {
      const book::Batch& facts = plan_.facts_of(one);
      if (wish.owner == every_batch || facts.id.value == wish.owner ||
          written_name(facts) == wish.owner) {
        found.push_back(&one);
      }
    }
    if (found.empty()) report_no_batch(wish);
    return found;
  }

  void report_no_batch(const Wish& wish) {
    std::vector<std::string> ids = {site_word};
    bool unplanned = false;
    for (const book::Batch& batch : plan_.book->batches) {
      ids.push_back(batch.id.value);
      unplanned = unplanned || batch.id.value == wish.owner;
    }
    if (wish.owner == every_batch || unplanned) {
      const std::string what =
          unplanned ? "Batch " + ticked(wish.owner) + " is" : std::string("No batch is");
      diagnostics_.error("not-planned", wish.owner_span,
                         what + (unplanned ? " not planned: it has mistakes." : " planned."),
                         "`budwood check` tells what is wrong with the book.");
      return;
    }
    std::string advice = text::did_you_mean(wish.owner, ids);
    if (advice.empty()) advice = example();
    diagnostics_.error("unknown-name", wish.owner_span,
                       "There is no batch " + ticked(wish.owner) + ".", std::move(advice));
  }

  void change_batches(const Wish& wish) {
    const std::vector<const BatchPlan*> batches = batches_of(wish);
    std::map<std::size_t, Target> targets;  // by sheet
    bool any = false;
    for (const BatchPlan* batch : batches) {
      const auto [place, fresh] = targets.try_emplace(batch->sheet);
      if (fresh) place->second = find_target(plan_.sheet_of(*batch).layout(), wish.cell);
      const Target& target = place->second;
      if (target.kind == Target::Kind::worked_out || target.kind == Target::Kind::unknown) continue;
      any = true;
      change_batch(plan_, *batch, target, wish, out_, diagnostics_);
    }
    if (any || batches.empty()) return;
    for (const auto& [sheet, target] : targets) {
      if (target.kind != Target::Kind::worked_out) continue;
      return report_worked_out(plan_.sheets[sheet].layout(), target.cell, wish);
    }
    report_unknown_cell(targets, wish);
  }

  void report_worked_out(const sheet::Template& t, sheet::CellId cell, const Wish& wish) {
    std::vector<std::string> names = settable_behind(t, cell);
    const std::size_t more = names.size() > most_named ? names.size() - most_named : 0;
    if (more > 0) names.resize(most_named);
    for (std::string& name : names) name = "`" + name + "`";
    if (more > 0) names.push_back(std::to_string(more) + " more");
    diagnostics_.error(
        "worked-out", wish.cell_span, ticked(wish.cell) + " is worked out, so it cannot be set.",
        names.empty() ? "It rests on nothing that can be set."
                      : "Set something it rests on: " + text::list_words(names) + ".");
  }

  void report_unknown_cell(const std::map<std::size_t, Target>& targets, const Wish& wish) {
    std::set<std::string> names;
    for (const auto& [sheet, target] : targets) {
      const sheet::Template& t = plan_.sheets[sheet].layout();
      for (std::string& name : settable_names(t)) names.insert(std::move(name));
      for (const sheet::Cell& cell : t.cells) names.insert(cell.name);
    }
    std::string advice = text::did_you_mean(wish.cell, {names.begin(), names.end()});
    if (advice.empty()) {
      const sheet::Template& t = plan_.sheets[targets.begin()->first].layout();
      std::vector<std::string> words(std::begin(batch_values), std::end(batch_values));
      for (std::size_t i = 0; i < std::min(most_named, t.protocol.inputs.size()); ++i) {
        words.push_back(t.protocol.inputs[i].name);
      }
      words.insert(words.end(), {"STAGE.start", "STAGE.end", "STAGE.left"});
      advice = "Things to set are " + text::list_words(words) + ".";
    }
    const std::string who =
        wish.owner == every_batch
            ? std::string("No batch")
            : "`" + plan_.sheets[targets.begin()->first].layout().protocol.name + "`";
    diagnostics_.error("unknown-name", wish.cell_span,
                       who + " has " + (wish.owner == every_batch ? "a" : "no") + " value " +
                           ticked(wish.cell) + ".",
                       std::move(advice));
  }

  const Plan& plan_;
  text::Sources& sources_;
  text::Diagnostics& diagnostics_;
  WhatIf out_;
  std::set<std::string> done_;
};

}  // namespace

std::optional<WhatIf> what_if(const Plan& plan, const std::vector<std::string>& changes,
                              text::Sources& sources, text::Diagnostics& diagnostics) {
  return Editor(plan, sources, diagnostics).run(changes);
}

}  // namespace budwood::plan
