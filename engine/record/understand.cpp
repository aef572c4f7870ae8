#include "record/understand.hpp"

#include <algorithm>
#include <set>

#include "record/places.hpp"

namespace budwood::record {

namespace {

using language::syntax::EntryLine;
using language::syntax::EntryNumber;

class Reader {
 public:
  Reader(const EntryLine& line, const Known& known, text::Diagnostics& diagnostics)
      : line_(line), known_(known), diagnostics_(diagnostics) {}

  bool read(Entry& entry) {
    entry.what = line_.kind;
    if (line_.by) entry.by = line_.by->value;
    if (line_.words) entry.words = line_.words->value;
    if (line_.tray) entry.tray = line_.tray->value;
    if (line_.time) entry.seconds = line_.time->value;
    if (line_.number) {
      entry.number = line_.number->value;
      entry.of = line_.number->of;
      entry.unit = line_.number->unit.text;
    }
    if (!line_.entry || find_corrected(entry)) {
      if (entry.what == What::withdrawal) {
        // nothing more to look up
      } else if (is_of_stock(entry.what)) {
        read_stock(entry);
      } else {
        read_in_batch(entry);
      }
    }
    check_fit(entry);
    return ok_;
  }

 private:
  void wrong(const char* code, const text::Span& span, const std::string& message,
             const std::string& advice) {
    diagnostics_.error(code, span, message, advice);
    ok_ = false;
  }

  bool find_corrected(Entry& entry) {
    const language::syntax::Text& id = *line_.entry;
    if (!is_id(id.value)) {
      wrong("unknown-entry", id.span, "`" + text::shortened(id.value) + "` is no entry.",
            "`budwood record BOOK` shows the id of each entry; its first letters will do.");
      return false;
    }
    const std::vector<Entry> found = known_.entries(id.value);
    if (found.size() == 1) {
      entry.corrects = found.front().id;
      if (entry.what == What::withdrawal) {
        entry.batch = found.front().batch;
        entry.place = found.front().place;
      }
      return true;
    }
    if (found.empty()) {
      wrong("unknown-entry", id.span, "There is no entry `" + id.value + "`.",
            "`budwood record BOOK` shows the id of each entry.");
    } else {
      wrong("unknown-entry", id.span,
            std::to_string(found.size()) + " entries begin with `" + id.value + "`.",
            "Write more letters of it.");
    }
    return false;
  }

  void read_in_batch(Entry& entry) {
    const std::optional<Place> place = find_place(line_, known_, entry.day, diagnostics_);
    if (!place) {
      ok_ = false;
      return;
    }
    entry.batch = place->batch;
    entry.place = place->within;
    if (line_.tray) check_tray(entry);
    if (line_.grade) read_grade(*place->protocol, entry);
    if (entry.what == What::seen || entry.what == What::not_seen) {
      read_sight(*place->protocol, entry);
    }
    for (const language::syntax::EntryUse& use : line_.used) read_use(*place->protocol, use, entry);
  }

  /// In a trial a count in the wrong tray goes to the wrong arm.
  void check_tray(const Entry& entry) {
    const std::vector<std::string> trays = known_.trays_of(entry.batch);
    if (trays.empty() || std::find(trays.begin(), trays.end(), entry.tray) != trays.end()) return;
    const std::string whole = known_.whole_of(entry.batch);
    const std::vector<std::string> all = known_.trays_of(whole);
    const bool of_another = std::find(all.begin(), all.end(), entry.tray) != all.end();
    wrong("unknown-tray", line_.tray->span,
          "Trial batch `" + entry.batch + "` has no tray " + text::shortened(entry.tray) + ".",
          std::string(of_another ? "That tray was drawn for another arm. " : "") + "It has " +
              (trays.size() == 1 ? "tray " : "trays ") + text::list_words(trays) + ".");
  }

  void read_sight(const language::Protocol& protocol, Entry& entry) {
    const language::ObservationId id = protocol.observations.find(line_.name.value);
    if (!id.known()) {
      std::vector<std::string> names;
      for (const language::Observation& one : protocol.observations) names.push_back(one.name);
      std::string advice = text::did_you_mean(line_.name.value, names);
      if (advice.empty() && !names.empty()) advice = "It looks at " + text::list_words(names) + ".";
      if (advice.empty()) advice = "It observes nothing; note it with `note \"...\"`.";
      wrong("unknown-name", line_.name.span,
            "`" + protocol.name + "` does not observe `" + text::shortened(line_.name.value) + "`.",
            advice);
      return;
    }
    entry.name = line_.name.value;
    check_sight(protocol.observations[id], entry);
  }

  void read_grade(const language::Protocol& protocol, Entry& entry) {
    const language::StageId stage = protocol.stages.find(std::string(stage_of(entry)));
    std::vector<std::string> names;
    if (stage.known()) {
      for (const language::Grade& one : protocol.stages[stage].grades) names.push_back(one.name);
    }
    entry.name = line_.grade->value;
    if (std::find(names.begin(), names.end(), entry.name) != names.end()) return;
    std::string advice = text::did_you_mean(entry.name, names);
    if (advice.empty()) {
      advice = names.empty() ? "Nothing is sorted there: count all plants of the stage."
                             : "It has " + text::list_words(names) + ".";
    }
    wrong("unknown-name", line_.grade->span,
          "`" + std::string(stage_of(entry)) + "` of `" + protocol.name + "` has no grade `" +
              text::shortened(entry.name) + "`.",
          advice);
  }

  void check_sight(const language::Observation& seen, Entry& entry) {
    if (!seen.has_unit) {
      if (line_.number && !line_.number->of) {
        wrong("unit-mismatch", line_.number->span,
              "`" + seen.name + "` is seen or not seen; it has no number.",
              "Write `seen " + seen.name + "` or `not seen " + seen.name +
                  "`, or how many of how many.");
      }
      return;
    }
    if (entry.what == What::not_seen) return;
    if (!line_.number) {
      wrong("no-amount", line_.name.span, "This does not say how much was seen.",
            "Write the number in " + units::describe(seen.unit.dimension) + ", such as `seen " +
                seen.name + " 70 " + seen.unit.symbol + "`.");
      return;
    }
    const bool share = seen.unit.dimension.is_number();
    if (line_.number->of && !share) {
      wrong("unit-mismatch", line_.number->span,
            "`" + seen.name + "` is " + units::describe(seen.unit.dimension) + ", and no share.",
            "Write it in " + seen.unit.symbol + ".");
      return;
    }
    if (line_.number->of) return;
    entry.unit = unit_of(*line_.number, seen.unit);
    const auto unit = units::find_unit(entry.unit);
    if (share && unit &&
        !(unit->to_base(line_.number->value) >= 0 && unit->to_base(line_.number->value) <= 1)) {
      wrong("out-of-range", line_.number->span, "A share is from 0 to 100 %.", "");
    }
  }

  /// The unit of a number that is wanted in `usual`, or in another of its kind.
  std::string unit_of(const EntryNumber& number, const units::Unit& usual) {
    if (number.unit.text.empty()) return usual.symbol;
    const auto unit = units::find_unit(number.unit.text);
    if (number.unit.text == usual.symbol || (unit && unit->dimension == usual.dimension)) {
      return number.unit.text;
    }
    if (!unit) {
      wrong("unknown-unit", number.unit.span,
            "`" + text::shortened(number.unit.text) + "` is no unit.",
            text::did_you_mean(number.unit.text, units::unit_names()));
    } else {
      wrong("unit-mismatch", number.span,
            "This is " + units::describe(unit->dimension) + "; " +
                units::describe(usual.dimension) + " is wanted.",
            "Write it in " + (usual.symbol.empty() ? std::string("pieces") : usual.symbol) + ".");
    }
    return number.unit.text;
  }

  void read_use(const language::Protocol& protocol, const language::syntax::EntryUse& use,
                Entry& entry) {
    std::vector<const language::Supply*> supplies;
    for (const language::Supply& one : protocol.supplies) supplies.push_back(&one);
    const language::Supply* supply = find_supply(supplies, use.supply);
    if (supply == nullptr) supply = find_supply(known_.supplies(), use.supply);
    if (supply == nullptr) {
      no_supply(supplies, use.supply);
      return;
    }
    entry.used.push_back({use.amount.value, unit_of(use.amount, supply->plain_unit), supply->name});
  }

  void read_stock(Entry& entry) {
    const std::vector<const language::Supply*> supplies = known_.supplies();
    const language::Supply* supply = find_supply(supplies, line_.name);
    if (supply == nullptr) {
      no_supply(supplies, line_.name);
      return;
    }
    entry.name = supply->name;
    if (line_.number->of) {
      wrong("unit-mismatch", line_.number->span, "Stock is an amount, and no share.",
            "Write it like `stock " + supply->name + " 140 " + supply->unit.symbol + "`.");
      return;
    }
    entry.unit = unit_of(*line_.number, supply->plain_unit);
  }

  static const language::Supply* find_supply(const std::vector<const language::Supply*>& supplies,
                                             const language::syntax::Text& name) {
    for (const language::Supply* one : supplies) {
      if (one->name == name.value || one->title == name.value) return one;
    }
    return nullptr;
  }

  void no_supply(const std::vector<const language::Supply*>& supplies,
                 const language::syntax::Text& name) {
    std::set<std::string> names;
    for (const language::Supply* one : supplies) names.insert(one->name);
    std::string advice = text::did_you_mean(name.value, {names.begin(), names.end()});
    if (advice.empty() && !names.empty() && names.size() <= 12) {
      advice = "There is " + text::list_words({names.begin(), names.end()}) + ".";
    }
    wrong("unknown-name", name.span, "There is no supply `" + text::shortened(name.value) + "`.",
          advice);
  }

  /// What is told with an entry that it has no place for, and what it lacks.
  void check_fit(const Entry& entry) {
    const bool done = entry.what == What::done;
    const auto refuse = [&](const text::Span& span, const char* what) {
      wrong("does-not-go", span,
            std::string(what) + " does not go with `" + word(entry.what) + "`.",
            "Write an entry of its own for it.");
    };
    const bool plants = line_.number && line_.number->unit.text == "plants";
    const bool takes_number = done || entry.what == What::counted || entry.what == What::lost ||
                              entry.what == What::seen || is_of_stock(entry.what);
    if (plants && !takes_number) refuse(line_.number->span, "A number of plants");
    if (!line_.used.empty() && !done) refuse(line_.used.front().amount.span, "What was used");
    if (line_.time && (is_of_stock(entry.what) || entry.what == What::withdrawal)) {
      refuse(line_.time->span, "Time");
    }
    if (line_.tray && (is_of_stock(entry.what) || entry.what == What::withdrawal)) {
      refuse(line_.tray->span, "A tray");
    }
    if (line_.grade && entry.what != What::counted) refuse(line_.grade->span, "A grade");
    if (line_.grade && line_.number && line_.number->of) {
      wrong("does-not-go", line_.number->span, "A grade is counted whole, not in a sample.",
            "Write how many there are of it in all.");
    }
    if (needs_words(entry.what) && entry.words.empty()) {
      wrong("no-words", line_.kind_span,
            std::string("`") + word(entry.what) + "` needs a sentence in quotes.",
            "Write it like: " + std::string(word(entry.what)) + " \"frost in the tunnel\"");
    }
    if (!ok_) return;
    if (const Fault fault = find_fault(entry); !fault.text.empty()) {
      wrong("out-of-range", place_of(fault.piece), fault.text, "");
    }
  }

  text::Span place_of(Fault::Piece piece) const {
    switch (piece) {
      case Fault::Piece::number:
        return line_.number ? line_.number->span : line_.span;
      case Fault::Piece::time:
        return line_.time ? line_.time->span : line_.span;
      case Fault::Piece::used:
        return line_.used.empty() ? line_.span : line_.used.front().amount.span;
      case Fault::Piece::by:
        return line_.by ? line_.by->span : line_.span;
      case Fault::Piece::tray:
        return line_.tray ? line_.tray->span : line_.span;
      case Fault::Piece::words:
        return line_.words ? line_.words->span : line_.span;
      case Fault::Piece::whole:
        break;
    }
    return line_.span;
  }

  const EntryLine& line_;
  const Known& known_;
  text::Diagnostics& diagnostics_;
  bool ok_ = true;
};

}  // namespace

std::optional<Entry> understand(const EntryLine& line, const Known& known, const Usual& usual,
                                text::Diagnostics& diagnostics) {
  Entry entry;
  entry.id = new_id();
  entry.by = usual.by;
  entry.day = usual.day;
  if (line.day) entry.day = calendar::parse_iso_date(line.day->value).value_or(day_now());
  if (!Reader(line, known, diagnostics).read(entry)) return std::nullopt;
  return entry;
}

}  // namespace budwood::record
