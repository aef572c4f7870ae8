#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "revision/pieces.hpp"
#include "units/rounding.hpp"

namespace budwood::revision {

namespace {

using results::Learned;

std::string days_text(double days) {
  return fmt::format("{:.0f} {}", days, days == 1 ? "day" : "days");
}

double in_days(double seconds) {
  return seconds / units::seconds_a_day;
}

class Numbers {
 public:
  Numbers(language::ProtocolText& text, Revision& out) : text_(text), out_(out) {}

  /// `variant`: in whose block it is written; "" for the method itself.
  void put(const Learned& one, const std::string& variant) {
    if (one.kind == Learned::Kind::length && one.input.empty()) {
      length(one, variant);
      return;
    }
    const book::LearnedValue kept = results::kept_value(one);
    const std::string about = one.input + (variant.empty() ? "" : ", variant " + variant);
    if (one.outside) {
      leave(about, kept, "learned outside the range of the protocol: widen it by hand");
    } else if (!results::can_be_kept(one)) {
      leave(about, kept, "too few: " + kept.behind);
    } else {
      const std::string before = text_.written_input(one.input, variant);
      if (!text_.set_input(one.input, kept.value.text, variant)) {
        leave(about, kept, "it does not stand in this text");
        return;
      }
      add({about, before.empty() ? kept.usual.text : before, kept.value.text,
           kept.behind + ", by " + calendar::iso_date(one.until)},
          "");
    }
  }

 private:
  void leave(const std::string& about, const book::LearnedValue& kept, const std::string& why) {
    out_.left.push_back({about, kept.usual.text, kept.value.text, why});
  }

  void add(Step step, const std::string& stage) {
    text_.add_note(stage, fmt::format("Edition {}: {} is {}, before {}; {}.", out_.edition,
                                      step.about, step.after, step.before, step.behind));
    out_.steps.push_back(std::move(step));
  }

  /// The usual length is the middle of those seen; the range is only widened, never narrowed.
  void length(const Learned& one, const std::string& variant) {
    const std::string about = "length of " + one.stage;
    const results::LearnedRange& range = *one.range;
    const std::string seen =
        fmt::format("lived through {} times, {} to {}", one.jobs,
                    days_text(in_days(range.shortest)), days_text(in_days(range.longest)));
    const auto written = text_.written_length(one.stage);
    if (!variant.empty() || !written) return;
    if (one.jobs < results::enough_batches) {
      out_.left.push_back(
          {about, written->usual, days_text(std::round(in_days(one.value))), "too few: " + seen});
      return;
    }
    language::ProtocolText::Length fresh;
    const double usual = std::round(in_days(one.value));
    if (std::abs(usual - in_days(one.usual)) >= 1) fresh.usual = days_text(usual);
    // A single number is no range: it takes the usual one.
    const bool ranged = !written->longest.empty();
    const double early = std::floor(in_days(range.early.value));
    const double late = std::ceil(in_days(range.late.value));
    if (ranged && early < in_days(range.written.low)) fresh.shortest = days_text(early);
    if (ranged && late > in_days(range.written.high)) fresh.longest = days_text(late);
    if (!ranged && !fresh.usual.empty()) std::swap(fresh.shortest, fresh.usual);
    if (fresh.usual.empty() && fresh.shortest.empty() && fresh.longest.empty()) {
      out_.left.push_back(
          {about, days_text(in_days(one.usual)), days_text(usual), "as it is written: " + seen});
      return;
    }
    text_.set_length(one.stage, fresh);
    const auto words = [](const language::ProtocolText::Length& length) {
      std::string out = length.shortest;
      if (!length.longest.empty()) out += " to " + length.longest;
      return out + (length.usual.empty() ? "" : " usually " + length.usual);
    };
    const auto chosen = [](const std::string& a, const std::string& b) {
      return a.empty() ? b : a;
    };
    const language::ProtocolText::Length after{chosen(fresh.shortest, written->shortest),
                                               chosen(fresh.longest, written->longest),
                                               chosen(fresh.usual, written->usual)};
    add({about, words(*written), words(after), seen + ", by " + calendar::iso_date(one.until)},
        one.stage);
  }

  language::ProtocolText& text_;
  Revision& out_;
};

/// Whether two were learned of the same input, or of the same stage.
bool same_input(const Learned& a, const Learned& b) {
  return a.kind == b.kind && a.input == b.input && (!a.input.empty() || a.stage == b.stage);
}

}  // namespace

void put_numbers(const std::vector<results::Learned>& learned, const Wish& wish,
                 const std::string& method, language::ProtocolText& text, Revision& out) {
  Numbers numbers(text, out);
  const std::string chosen =
      method.empty() ? "" : language::variant_name(wish.protocol->name, method);
  std::vector<Learned> of_chosen;
  for (const Learned& one : learned) {
    if (one.edition == wish.protocol->edition && one.protocol == chosen) of_chosen.push_back(one);
  }
  for (const Learned& one : of_chosen) numbers.put(one, "");
  for (const Learned& one : learned) {
    if (one.edition != wish.protocol->edition || one.protocol == chosen) continue;
    if (language::method_of(one.protocol) != wish.protocol->name) continue;
    const std::string variant = language::variant_of(one.protocol);
    if (chosen.empty() || !variant.empty()) {
      numbers.put(one, variant);
      continue;
    }
    // What was learned of the old way says nothing of the new one where that says so itself.
    const bool known = std::any_of(of_chosen.begin(), of_chosen.end(),
                                   [&](const Learned& other) { return same_input(one, other); });
    if (!known) {
      out.left.push_back({one.input.empty() ? "length of " + one.stage : one.input, "", "",
                          "learned of the old way alone"});
    }
  }
}

}  // namespace budwood::revision
